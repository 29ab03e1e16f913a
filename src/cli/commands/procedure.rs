//! `packdown procedure`: prove it, draw it, list those that ship.

use crate::cli::advice::CommandError;
use crate::cli::args::{Format, ProcedureCommand};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, table};
use crate::inspection;
use crate::procedure::Procedure;
use crate::store::{self, StoreError};

pub(super) fn procedure(
    command: &ProcedureCommand,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    match command {
        ProcedureCommand::List => {
            for id in Procedure::shipped_ids() {
                let procedure = store::load_procedure(id, None)?;
                out.line(&format!("{id}: {}", procedure.title))?;
            }
            Ok(Exit::Done)
        }
        ProcedureCommand::Findings => findings(out),
        ProcedureCommand::Check(args) => check(&args.procedure, out),
        ProcedureCommand::Show(args) => {
            let procedure = store::find_procedure(&args.procedure)?;
            match out.format() {
                Format::Text | Format::Plain => out.text(&procedure.drawn_as_text())?,
                Format::Mermaid => out.text(&procedure.drawn_as_mermaid())?,
                Format::Dot => out.text(&procedure.drawn_as_dot())?,
                Format::Json => json(out, &as_json(&procedure))?,
            }
            Ok(Exit::Done)
        }
    }
}

fn findings(out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let all = inspection::catalogue();
    if out.format() == Format::Json {
        let shown: Vec<_> = all
            .iter()
            .map(|one| {
                serde_json::json!({
                    "code": one.code,
                    "finding": one.words,
                    "observed_by": one.observed_by,
                    "first_act": one.first_act,
                    "makes_it": inspection::soundness_of(&[&one.code]).word(),
                    "basis": one.basis,
                })
            })
            .collect();
        json(out, &shown)?;
    } else {
        let rows = all.iter().map(|one| {
            vec![
                one.code.clone(),
                one.words.clone(),
                inspection::soundness_of(&[&one.code]).word().to_owned(),
                one.first_act.clone(),
            ]
        });
        table(out, &["code", "finding", "makes it", "do first"], rows)?;
        out.line("Several together may make it worse; not sure means the worse one.")?;
    }
    Ok(Exit::Done)
}

fn check(name: &str, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match store::proof_of(name) {
        Ok(proof) => {
            if out.format() == Format::Json {
                json(
                    out,
                    &serde_json::json!({ "proved": true, "text": proof.to_string() }),
                )?;
            } else {
                out.text(&proof.to_string())?;
                out.line("PROVED: no way through it touches anything before it is made dead.")?;
            }
            Ok(Exit::Done)
        }
        Err(StoreError::Unproved { name, escapes }) => {
            let ways: Vec<String> = escapes.iter().map(ToString::to_string).collect();
            if out.format() == Format::Json {
                json(
                    out,
                    &serde_json::json!({ "proved": false, "ways_round": ways }),
                )?;
            } else {
                out.line(&format!("NOT PROVED: {name}"))?;
                for way in ways {
                    out.line(&format!("  - {way}"))?;
                }
            }
            Ok(Exit::No)
        }
        Err(error) => Err(error.into()),
    }
}

fn as_json(procedure: &Procedure) -> serde_json::Value {
    let steps: Vec<_> = procedure
        .steps
        .iter()
        .map(|step| {
            serde_json::json!({
                "step": step.id,
                "do": step.does,
                "needs": step.needs,
                "role": step.role,
                "acts": step.acts,
                "asked": step.evidence.iter().map(|spec| spec.name.as_str()).collect::<Vec<_>>(),
            })
        })
        .collect();
    serde_json::json!({
        "id": procedure.id,
        "title": procedure.title,
        "sha256": procedure.fingerprint,
        "steps": steps,
    })
}
