//! `trainer-box-uf2 IMAGE FILE`: converts a linked image into a UF2 file. Nothing is left half written.

use std::env::args_os;
use std::ffi::OsString;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let words: Vec<OsString> = args_os().skip(1).collect();
    let result = match &words[..] {
        [image, file] => convert(image.as_ref(), file.as_ref()),
        _ => Err("give the linked image and the file to write: trainer-box-uf2 IMAGE box.uf2".to_owned()),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("error: {why}");
            ExitCode::from(2)
        }
    }
}

fn convert(image: &Path, file: &Path) -> Result<(), String> {
    let elf = fs::read(image).map_err(|why| format!("{}: cannot be read: {why}", image.display()))?;
    let uf2 = trainer_box_uf2::from_elf(&elf).map_err(|why| format!("{} {why}", image.display()))?;
    let part = file.with_added_extension("part");
    fs::write(&part, uf2).and_then(|()| fs::rename(&part, file)).map_err(|why| {
        // The error that matters is the one above.
        let _ = fs::remove_file(&part);
        format!("{}: cannot be written: {why}; choose a folder in which you may write", file.display())
    })
}
