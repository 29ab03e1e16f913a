//! `packdown schema`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::SchemaArgs;
use crate::cli::exit::Exit;
use crate::cli::output::Answer;

pub(super) fn schema(args: &SchemaArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    out.text(&actions::schema(&args.name)?)?;
    Ok(Exit::Done)
}
