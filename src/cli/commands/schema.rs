//! `packdown schema`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::SchemaArgs;
use crate::cli::exit::Exit;
use crate::cli::output::Answer;

pub(super) fn schema(args: &SchemaArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let text = match args.name.strip_prefix("calc-") {
        Some(sum) => actions::find_sum(sum)?.schema()?,
        None => actions::schema(&args.name)?,
    };
    out.text(&text)?;
    Ok(Exit::Done)
}
