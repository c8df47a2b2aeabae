//! Prints the public API that a file of rustdoc's JSON describes, one item a line. Derived and automatic impls are
//! left out. Exit code 2 where the JSON cannot be read: another compiler writes another format.

use std::io::{self, Write as _};
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(json) = std::env::args_os().nth(1) else {
        eprintln!("usage: handback-public-api FILE.json");
        return ExitCode::from(2);
    };
    let listed = public_api::Builder::from_rustdoc_json(json)
        .omit_blanket_impls(true)
        .omit_auto_trait_impls(true)
        .omit_auto_derived_impls(true)
        .build();
    match listed {
        Ok(api) => api
            .items()
            .try_for_each(|item| writeln!(io::stdout(), "{item}"))
            .map_or(ExitCode::FAILURE, |()| ExitCode::SUCCESS),
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}
