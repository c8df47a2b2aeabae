//! Which policy files may be replaced: those that are as a run left them. What a person wrote or edited is kept.
//!
//! The first line of a policy that this tool writes carries a digest of all that follows. A file whose digest is right is
//! as it was written; every other one, but an empty one, has something in it that would be lost.

use std::fs;
use std::io;
use std::path::Path;

const BEGINS: &str = "# lesson wrote this file, digest ";
const ENDS: &str = ". Once it is edited, only --overwrite replaces it.";

/// A text with its mark before it.
pub(super) fn marked(text: &str) -> String {
    format!("{BEGINS}{:08x}{ENDS}\n{text}", crc32(text.as_bytes()))
}

/// Whether there is something at this place that only a person could write again.
pub(super) fn is_edited(place: &Path) -> io::Result<bool> {
    match fs::read(place) {
        Ok(bytes) => Ok(!bytes.is_empty() && !is_as_written(&bytes)),
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(why) => Err(why),
    }
}

fn is_as_written(bytes: &[u8]) -> bool {
    let digest = bytes.strip_prefix(BEGINS.as_bytes()).and_then(|rest| rest.split_at_checked(8));
    let text =
        digest.and_then(|(digest, rest)| Some((digest, rest.strip_prefix(ENDS.as_bytes())?.strip_prefix(b"\n")?)));
    text.is_some_and(|(digest, text)| digest == format!("{:08x}", crc32(text)).as_bytes())
}

/// CRC-32/ISO-HDLC.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc: u32, _| (crc >> 1) ^ if crc & 1 == 1 { 0xEDB8_8320 } else { 0 })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value of CRC-32/ISO-HDLC in the CRC catalogue.
    #[test]
    fn the_digest_is_the_catalogues() {
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn one_changed_byte_anywhere_is_an_edit() {
        let text = marked("dwell_ms = 300\n");
        assert!(is_as_written(text.as_bytes()));
        for at in 0..text.len() {
            let mut edited = text.clone().into_bytes();
            edited[at] ^= 1;
            assert!(!is_as_written(&edited), "byte {at}");
        }
        for edited in [&text[..text.len() - 1], &text[..20], "", "dwell_ms = 300\n", &text.replace('\n', "\r\n")] {
            assert!(!is_as_written(edited.as_bytes()), "{edited}");
        }
        assert!(!is_as_written(format!("{text}\n").as_bytes()));
    }
}
