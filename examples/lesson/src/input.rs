//! What is read: the name for messages, and the bytes, from wherever they come.

use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

/// A file being read, or bytes that stand for one.
pub(crate) struct Input {
    path: PathBuf,
    bytes: Box<dyn Read + Send>,
}

impl Input {
    /// Bytes that come from `bytes`; messages call them `path`.
    pub(crate) fn new(path: &Path, bytes: impl Read + Send + 'static) -> Self {
        Self { path: path.to_owned(), bytes: Box::new(bytes) }
    }

    /// Bytes in memory; messages call them `name`.
    pub(crate) fn of_bytes(name: &str, bytes: Vec<u8>) -> Self {
        Self::new(Path::new(name), Cursor::new(bytes))
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    pub(crate) fn into_bytes(self) -> Box<dyn Read + Send> {
        self.bytes
    }
}
