//! `packdown key`.

use crate::cli::advice::CommandError;
use crate::cli::args::{Format, KeyCommand};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};
use crate::store;

pub(super) fn key(command: &KeyCommand, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let KeyCommand::Show = command;
    let shown = store::show_key()?;
    if out.format() == Format::Json {
        json(out, &shown)?;
        return Ok(Exit::Done);
    }
    if shown.made_now {
        out.line("A key was made for this device.")?;
    }
    out.line(&format!("Name      {}", shown.name))?;
    out.line(&format!("Public    {}", shown.verifier))?;
    out.line(&format!("Kept in   {}", shown.kept_in.display()))?;
    out.line(
        "Give the public line to whoever is to verify your jobs. The file is the secret half:",
    )?;
    out.line("whoever has it can sign in this device's name.")?;
    out.line(&format!(
        "Demo key  {} (public, proves nothing)",
        shown.demo_verifier
    ))?;
    Ok(Exit::Done)
}
