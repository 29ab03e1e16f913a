//! `packdown proof`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, ProofArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};
use crate::store::replace;

pub(super) fn proof(args: &ProofArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let proof = actions::module_proof(&args.job, &args.module, args.with_handovers)?;
    if let Some(file) = &args.out {
        replace(file, proof.text.as_bytes())?;
    }
    if out.format() == Format::Json {
        json(out, &proof)?;
    } else if let Some(file) = &args.out {
        out.line(&format!(
            "{}: {} entries proved in {}",
            proof.module,
            proof.entries,
            file.display()
        ))?;
        if proof.not_signed > 0 {
            out.line(&format!("{} entries are not signed yet", proof.not_signed))?;
        }
        out.line("Anybody checks it with `packdown verify FILE`, without the rest of the log.")?;
    } else {
        out.text(&proof.text)?;
    }
    Ok(Exit::Done)
}
