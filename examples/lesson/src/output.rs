//! Files that are either whole or not there: written beside their place, and moved into it at the very end.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

use crate::error::Fault;

/// A file being written. Until [`commit`](Self::commit) its place is untouched; dropped, it leaves nothing behind.
pub(crate) struct Output {
    /// The path as the user wrote it, for messages.
    path: PathBuf,
    writer: BufWriter<Sink>,
}

enum Sink {
    /// Beside its place, with the place to move it to.
    Beside(NamedTempFile, PathBuf),
    /// A pipe or a device, which cannot be replaced.
    Straight(File),
}

impl Output {
    /// Starts to write a file that will be at `path`. It must be none of `inputs`.
    pub(crate) fn create(path: &Path, inputs: &[&Path]) -> Result<Self, Fault> {
        let refuse = |why: &io::Error| Fault::io(path, "cannot be written", why);
        // The place behind a link is replaced, not the link.
        let place = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        if inputs.iter().any(|input| fs::canonicalize(input).is_ok_and(|input| input == place)) {
            return Err(Fault::new(path, "is read by the same command", "name another file to write"));
        }
        let sink = match fs::metadata(&place) {
            Ok(there) if there.is_dir() => return Err(refuse(&io::ErrorKind::IsADirectory.into())),
            Ok(there) if !there.is_file() => {
                Sink::Straight(File::options().write(true).open(&place).map_err(|why| refuse(&why))?)
            }
            Ok(there) if there.permissions().readonly() => {
                return Err(refuse(&io::ErrorKind::PermissionDenied.into()));
            }
            _ => Sink::Beside(beside(&place).map_err(|why| refuse(&why))?, place),
        };
        Ok(Self { path: path.to_owned(), writer: BufWriter::with_capacity(1 << 16, sink) })
    }

    /// Where the bytes go for now, for a writer that wants a path.
    pub(crate) fn path_for_now(&self) -> &Path {
        match self.writer.get_ref() {
            Sink::Beside(file, _) => file.path(),
            Sink::Straight(_) => &self.path,
        }
    }

    /// A failure to write this file.
    pub(crate) fn fault(&self, why: &io::Error) -> Fault {
        Fault::io(&self.path, "cannot be written", why)
    }

    /// Everything is written: moves the file to its place, over what was there.
    pub(crate) fn commit(self) -> Result<(), Fault> {
        let path = self.path;
        let refuse = |why: &io::Error| Fault::io(&path, "cannot be written", why);
        match self.writer.into_inner().map_err(|failed| refuse(failed.error()))? {
            Sink::Beside(file, place) => file.persist(place).map(|_| ()).map_err(|failed| refuse(&failed.error)),
            Sink::Straight(_) => Ok(()),
        }
    }
}

/// An empty file in the same folder, with the rights that a new file has here.
fn beside(place: &Path) -> io::Result<NamedTempFile> {
    let folder = match place.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut builder = Builder::new();
    builder.prefix(".lesson-").suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    // The library's own message repeats the temporary name, which means nothing to the user.
    builder.tempfile_in(folder).map_err(|why| why.raw_os_error().map_or(why, io::Error::from_raw_os_error))
}

impl Write for Output {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.writer.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.writer.flush()
    }
}

impl Write for Sink {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self {
            Self::Beside(file, _) => file.write(bytes),
            Self::Straight(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn until_it_is_committed_the_place_holds_what_it_held() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("out.csv");
        fs::write(&place, "old").unwrap();

        let mut dropped = Output::create(&place, &[]).unwrap();
        dropped.write_all(b"half").unwrap();
        dropped.flush().unwrap();
        drop(dropped);
        assert_eq!(fs::read_to_string(&place).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "a part was left behind");

        let mut whole = Output::create(&place, &[]).unwrap();
        whole.write_all(b"new").unwrap();
        whole.commit().unwrap();
        assert_eq!(fs::read_to_string(&place).unwrap(), "new");
    }

    #[test]
    fn a_file_that_is_being_read_is_not_written() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("trace.csv");
        fs::write(&place, "rows").unwrap();
        let same = folder.path().join(".").join("trace.csv");
        assert!(Output::create(&same, &[&place]).is_err());
    }
}
