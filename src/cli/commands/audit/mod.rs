//! `packdown audit`: what an auditor would write down, and what else one walk over the jobs answers.

mod findings;
mod views;
mod walk;

use crate::cli::advice::CommandError;
use crate::cli::args::AuditArgs;
use crate::cli::exit::Exit;
use crate::cli::output::Answer;

pub(super) fn audit(args: &AuditArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    if args.as_inspector {
        views::as_inspector(args, out)
    } else if let Some(serial) = &args.module {
        views::module(serial, args, out)
    } else if args.training {
        views::training(args, out)
    } else if args.retention {
        views::retention(args, out)
    } else if args.masses {
        views::masses(args, out)
    } else if let Some(file) = &args.certificate {
        views::certificate(file, args, out)
    } else {
        findings::findings(args, out)
    }
}
