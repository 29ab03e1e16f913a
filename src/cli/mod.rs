//! The command line: arguments, output, advice, exit codes. It computes nothing.

mod advice;
mod answer_text;
mod args;
mod bug;
mod commands;
mod dock_args;
mod exit;
mod large;
mod output;
mod typed;

pub use args::Cli;
pub use bug::end_on_a_bug;
pub use exit::Exit;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

/// Reads the command line, does what it says, and gives the exit code.
pub fn enter(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    end_on_a_bug();
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => {
            // Printing can only fail where nobody reads any more.
            let _ = error.print();
            return match error.kind() {
                ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Exit::Done.into(),
                _ => Exit::WrongCommandLine.into(),
            };
        }
    };
    if !cli.has_its_format() {
        let _ = writeln!(
            std::io::stderr(),
            "packdown: `--format mermaid` and `--format dot` are for `procedure show` only"
        );
        return Exit::WrongCommandLine.into();
    }
    let stdout = std::io::stdout();
    let mut out = output::Output::new(std::io::BufWriter::new(stdout.lock()), cli.format());
    let exit = match commands::follow(cli.command, &mut out) {
        Ok(exit) => exit,
        // The reader went away before the end: nobody is left to tell, and it is no success.
        Err(error) if error.reader_went_away() => Exit::Unreadable,
        Err(error) => {
            // What was said so far comes first; after that nothing more goes there.
            let _ = out.flush();
            return advice::report(&error).into();
        }
    };
    match out.flush() {
        Ok(()) => exit.into(),
        // The reader went away: `packdown show | head`.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => exit.into(),
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "packdown: cannot write: {error}");
            Exit::Unreadable.into()
        }
    }
}
