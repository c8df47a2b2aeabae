//! Files that are either whole or not there: written beside their place, and moved into it at the very end.

mod mark;
mod part;

use std::fmt::Display;
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::destination::Destination;
use crate::error::Fault;

/// The files of one command: what it reads, and where it writes.
pub(crate) struct Outputs {
    taken: Vec<PathBuf>,
}

impl Outputs {
    /// No file yet; none may take the place of one of these.
    pub(crate) fn beside(inputs: &[&Path]) -> Self {
        Self { taken: inputs.iter().filter_map(|input| fs::canonicalize(input).ok()).collect() }
    }

    /// Starts to write the file that will be at `path`.
    pub(crate) fn create(&mut self, path: &Path) -> Result<Output, Fault> {
        refuse_name(path)?;
        let refuse = cannot_write(path);
        let place = place_of(path).map_err(&refuse)?;
        let sink = match fs::metadata(&place) {
            // A file behind such a name belongs to the shell, which goes on writing to it at a place of its own.
            Ok(there) if there.is_file() && is_stream(path) => {
                return Err(Fault::new(path, "is a stream that goes to a file", "name that file, or another"));
            }
            Ok(there) if there.is_dir() => return Err(refuse(io::ErrorKind::IsADirectory.into())),
            Ok(there) if !there.is_file() => Sink::Straight(File::options().write(true).open(&place).map_err(&refuse)?),
            Ok(there) if there.permissions().readonly() => {
                return Err(refuse(io::ErrorKind::PermissionDenied.into()));
            }
            _ if self.taken.contains(&place) => {
                let found = "is read or written by the same command already";
                return Err(Fault::new(path, found, "name another file"));
            }
            _ => {
                self.taken.push(place.clone());
                Sink::Beside(part::create(folder_of(&place)).map_err(&refuse)?, place)
            }
        };
        Ok(Output { path: path.to_owned(), writer: BufWriter::with_capacity(1 << 16, sink) })
    }

    /// Starts to write a policy, over nothing that a person wrote unless `overwrite` says so.
    pub(crate) fn create_policy(&mut self, path: &Path, overwrite: bool) -> Result<Output, Fault> {
        let output = self.create(path)?;
        if let (Sink::Beside(_, place), false) = (output.writer.get_ref(), overwrite)
            && mark::is_edited(place).map_err(cannot_write(path))?
        {
            let found = "was edited, or is no policy that lesson wrote: it is kept";
            return Err(Fault::new(path, found, "name another file, or add --overwrite to lose it"));
        }
        Ok(output)
    }
}

/// What a shell takes for something else than a file.
fn refuse_name(path: &Path) -> Result<(), Fault> {
    if path == Path::new("-") {
        let remedy = "the report goes to standard output: name a file, or write ./- for one of this name";
        return Err(Fault::new(path, "names no file", remedy));
    }
    // The parts of a path do not show it.
    let text = path.to_string_lossy();
    let last = text.rsplit(std::path::is_separator).next();
    if last.is_some_and(|last| ["", ".", ".."].contains(&last)) {
        return Err(Fault::new(path, "cannot be written: names a folder", "name a file in it"));
    }
    Ok(())
}

fn cannot_write(path: &Path) -> impl Fn(io::Error) -> Fault {
    move |why| Fault::unwritten(path, &why)
}

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
    /// The path as the user wrote it.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// This file with its whole text.
    pub(crate) fn whole(mut self, text: &impl Display) -> Result<Self, Fault> {
        match write!(self.writer, "{text}") {
            Ok(()) => Ok(self),
            Err(why) => Err(self.fault(why)),
        }
    }

    /// This file with the whole text of a policy, marked so that an edit shows.
    pub(crate) fn whole_policy(self, text: &impl Display) -> Result<Self, Fault> {
        self.whole(&mark::marked(&text.to_string()))
    }

    /// Writes what is still held back.
    pub(crate) fn complete(&mut self) -> Result<(), Fault> {
        self.flush().map_err(|why| self.fault(why))
    }

    /// Everything is written: moves the file to its place, over what was there.
    pub(crate) fn commit(self) -> Result<(), Fault> {
        let refuse = cannot_write(&self.path);
        match self.writer.into_inner().map_err(|failed| refuse(failed.into_error()))? {
            Sink::Beside(file, place) => file.persist(place).map(drop).map_err(|failed| refuse(failed.error)),
            Sink::Straight(_) => Ok(()),
        }
    }
}

/// The place behind a link, which is replaced instead of the link, or the place where there is nothing yet.
fn place_of(path: &Path) -> io::Result<PathBuf> {
    match (fs::canonicalize(path), path.file_name()) {
        (Err(why), Some(name)) if why.kind() == io::ErrorKind::NotFound && !leads_nowhere(path) => {
            Ok(fs::canonicalize(folder_of(path))?.join(name))
        }
        (place, _) => place,
    }
}

/// Whether this is a link with nothing behind it; what it says of a pipe is no path, but leads to one.
fn leads_nowhere(path: &Path) -> bool {
    path.is_symlink() && fs::metadata(path).is_err()
}

/// Whether the path names a stream of this process rather than a file.
fn is_stream(path: &Path) -> bool {
    path.starts_with("/dev") || path.starts_with("/proc")
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

impl Destination for Output {
    fn fault(&self, why: io::Error) -> Fault {
        cannot_write(&self.path)(why)
    }
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

        let mut dropped = Outputs::beside(&[]).create(&place).unwrap();
        dropped.write_all(b"half").unwrap();
        dropped.flush().unwrap();
        drop(dropped);
        assert_eq!(fs::read_to_string(&place).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "a part was left behind");

        let mut whole = Outputs::beside(&[]).create(&place).unwrap();
        whole.write_all(b"new").unwrap();
        whole.commit().unwrap();
        assert_eq!(fs::read_to_string(&place).unwrap(), "new");
    }

    #[test]
    fn a_file_that_is_being_read_or_written_is_not_written_twice() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("trace.csv");
        fs::write(&place, "rows").unwrap();
        let same = folder.path().join(".").join("trace.csv");
        assert!(Outputs::beside(&[&place]).create(&same).is_err());

        let mut outputs = Outputs::beside(&[]);
        let _first = outputs.create(&folder.path().join("new.csv")).unwrap();
        assert!(outputs.create(&folder.path().join("new.csv")).is_err());
    }

    #[cfg(unix)]
    #[test]
    fn behind_a_link_the_file_is_replaced_and_the_link_stays() {
        let folder = tempfile::tempdir().unwrap();
        let (place, link) = (folder.path().join("out.csv"), folder.path().join("link.csv"));
        fs::write(&place, "old").unwrap();
        std::os::unix::fs::symlink(&place, &link).unwrap();

        let mut output = Outputs::beside(&[]).create(&link).unwrap();
        output.write_all(b"new").unwrap();
        output.commit().unwrap();
        assert_eq!(fs::read_to_string(&place).unwrap(), "new");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    }
}
