//! Where the program itself is wrong and cannot go on: one message, and the exit code that says so.

use std::io::Write;

use super::exit::Exit;

/// From here on a bug ends the whole program, in whatever thread it shows, with exit code 70.
///
/// What stood on disk before stands there still: every write is atomic or appended and flushed.
pub fn end_on_a_bug() {
    std::panic::set_hook(Box::new(|bug| {
        let _ = writeln!(
            std::io::stderr(),
            "packdown: a bug of the program, not of your input: {bug}\n  \
             - what was written before is whole\n  \
             do now: go on by the written procedure, not by guess; keep the folder and this message \
             for whoever looks after the program"
        );
        std::process::exit(Exit::Bug.code().into());
    }));
}
