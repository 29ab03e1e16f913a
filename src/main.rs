//! The `packdown` program: hands the command line to the library and leaves with its exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    packdown::cli::enter(std::env::args_os())
}
