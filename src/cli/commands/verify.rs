//! `packdown verify`.

use crate::actions::{self, BundleVerification, ProofVerification};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, VerifyArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, table};
use crate::cli::typed::{keys, papers};

pub(super) fn verify(args: &VerifyArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let keys = keys(&args.trust)?;
    let papers = papers(&args.paper)?;
    if args.job.is_file() && actions::is_proof(&args.job) {
        return proof(&actions::verify_proof(&args.job, &keys)?, out);
    }
    // A job is a folder with a ledger; a bundle is a file, or the folder that it was unpacked into.
    if args.job.is_file() || args.job.join("bagit.txt").exists() {
        return bundle(&actions::verify_bundle(&args.job, &keys, &papers)?, out);
    }
    let found = actions::verify_job(&args.job, &keys, &papers)?;
    if out.format() == Format::Json {
        json(out, &found)?;
    } else {
        out.line(&format!("Log        {}", found.log))?;
        out.line(&format!(
            "Entries    {} ({} signed)",
            found.entries, found.signed_entries
        ))?;
        out.line(&format!("Root       {}", found.root))?;
        out.line(&format!("Signature  {}", found.signature))?;
        let breaks: Vec<String> = found
            .breaks
            .iter()
            .map(|fault| {
                let weight = if fault.lawful { "noted" } else { "BREAK" };
                format!("{weight} [{}] {}", fault.kind, fault.text)
            })
            .collect();
        list(out, "Found:", &breaks)?;
        list(
            out,
            "Played again, the entries give something else:",
            &found.differences,
        )?;
        list(
            out,
            "A printed paper says otherwise:",
            &found.papers_against,
        )?;
        list(out, "Papers:", &found.changed_papers)?;
        out.line(if found.holds {
            "The record holds: complete, unchanged, signed."
        } else {
            "THE RECORD DOES NOT HOLD as it stands."
        })?;
    }
    Ok(if found.holds {
        Exit::Done
    } else {
        Exit::LedgerBroken
    })
}

fn bundle(found: &BundleVerification, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    if out.format() == Format::Json {
        json(out, found)?;
    } else {
        if let Some(handover) = &found.handover {
            out.line(&format!(
                "Hand-over  {} of job {}: {} packages, {} modules",
                handover.number,
                handover.job,
                handover.packages.len(),
                handover.modules().count()
            ))?;
            out.line(&format!(
                "           from {} to {} at {}",
                handover.released_by, handover.taken_by, handover.at
            ))?;
            out.line(&format!("For        {}", handover.to.name))?;
        }
        out.line(&format!("Log        {}", found.log))?;
        out.line(&format!("Entries    {}", found.entries))?;
        out.line(&format!("Root       {}", found.root))?;
        out.line(&format!("Signature  {}", found.signature))?;
        out.line(&format!("Files      {}", found.files))?;
        list(out, "BROKEN:", &found.faults)?;
        list(out, "Noted:", &found.notes)?;
        out.line(if found.holds {
            "The bundle holds: complete, unchanged, signed."
        } else if found.faults.is_empty() {
            "Complete and unchanged, but SIGNED BY A KEY THAT IS NOT TRUSTED HERE."
        } else {
            "THE BUNDLE DOES NOT HOLD as it stands."
        })?;
    }
    Ok(if found.holds {
        Exit::Done
    } else {
        Exit::LedgerBroken
    })
}

fn proof(found: &ProofVerification, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    if out.format() == Format::Json {
        json(out, found)?;
    } else {
        out.line(&format!("Log        {}", found.log))?;
        out.line(&format!("Entries    {} when it was signed", found.size))?;
        out.line(&format!("Root       {}", found.root))?;
        out.line(&format!("Signature  {}", found.signature))?;
        let rows = found.entries.iter().map(|entry| {
            vec![
                entry.seq.to_string(),
                entry.time.clone(),
                entry.actor.clone(),
                entry.kind.replace('_', " "),
                entry.step.clone().unwrap_or_default(),
                entry.module.clone().unwrap_or_default(),
            ]
        });
        let heads = ["entry", "time", "by", "kind", "step", "module"];
        table(out, &heads, rows)?;
        list(out, "BROKEN:", &found.faults)?;
        out.line(if found.holds {
            "Every entry is in the log as it was signed; --format json shows what they say."
        } else if found.faults.is_empty() {
            "Every entry is in the log, but it is SIGNED BY A KEY THAT IS NOT TRUSTED HERE."
        } else {
            "THE PROOF DOES NOT HOLD."
        })?;
    }
    Ok(if found.holds {
        Exit::Done
    } else {
        Exit::LedgerBroken
    })
}
