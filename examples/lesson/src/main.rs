//! The command `lesson`.

use std::process::ExitCode;

fn main() -> ExitCode {
    lesson::command_line::main()
}
