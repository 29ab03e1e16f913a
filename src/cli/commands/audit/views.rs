//! The other questions that one walk over the jobs answers: an inspector's, the whole file of a
//! module, training, retention, masses, the treater's certificate.

use std::io;

use serde::Serialize;

use super::walk::{asked, run};
use crate::actions::{ActionError, Inspected, QuestionTally, read_certificate};
use crate::audit::{self, Kept, MassReport, ModuleFile, Standing, TrainingMatrix};
use crate::cli::advice::CommandError;
use crate::cli::args::{AuditArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, paragraph, table};
use crate::papers::plain_text;
use crate::store::{StoreError, read_text};

/// Items of one JSON array, written as they come.
struct JsonList {
    given: u64,
}

impl JsonList {
    fn push(&mut self, out: &mut dyn Answer, value: &impl Serialize) -> io::Result<()> {
        out.text(if self.given == 0 { "[\n" } else { ",\n" })?;
        self.given += 1;
        let text = serde_json::to_string_pretty(value).map_err(io::Error::other)?;
        out.text(&text)
    }

    fn end(&self, out: &mut dyn Answer) -> io::Result<()> {
        out.text(if self.given == 0 { "[]\n" } else { "\n]\n" })
    }
}

/// `--as-inspector`
pub(super) fn as_inspector(args: &AuditArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut items = JsonList { given: 0 };
    let mut tally = QuestionTally::default();
    let mut kept: Vec<Inspected> = Vec::new();
    let failed = asked.failed.clone();
    let look = |dossier: &audit::Dossier| {
        let audited = audit::audit(dossier, failed.as_ref());
        audit::answers(dossier, &audited.findings)
    };
    run(&asked, &look, &mut |audited, answers| {
        let Some(answers) = answers else {
            return said(out.line(&format!("{} cannot be read", audited.source)));
        };
        tally.add(&answers);
        let inspected = Inspected {
            job: audited.job.clone(),
            site: audited.site.clone(),
            source: audited.source.clone(),
            answers,
        };
        said(if out.format() == Format::Json {
            items.push(out, &inspected)
        } else {
            shown_answers(&inspected, out)
        })?;
        if args.html.is_some() {
            kept.push(inspected);
        }
        Ok(())
    })?;
    if let Some(path) = &args.html {
        let own = args.template.as_deref().map(read_text).transpose()?;
        let page = tally
            .html(&asked.day.to_string(), &kept, own.as_deref())
            .map_err(ActionError::from)?;
        std::fs::write(path, page).map_err(StoreError::file(path))?;
    }
    if out.format() == Format::Json {
        items.end(out)?;
    } else {
        list(out, "Fetch before the inspector comes:", &tally.fetch)?;
        out.line(&format!(
            "{} shown, {} not so, {} papers missing, {} not asked.",
            tally.shown, tally.not_so, tally.missing, tally.not_asked
        ))?;
    }
    Ok(if tally.not_so > 0 {
        Exit::No
    } else if tally.missing > 0 {
        Exit::NotDetermined
    } else {
        Exit::Done
    })
}

fn said(written: io::Result<()>) -> Result<(), ActionError> {
    written.map_err(|why| {
        ActionError::Store(StoreError::File {
            path: "the answer".into(),
            why,
        })
    })
}

fn shown_answers(inspected: &Inspected, out: &mut dyn Answer) -> io::Result<()> {
    out.line(&plain_text(&format!(
        "{}, {} ({})",
        inspected.job, inspected.site, inspected.source
    )))?;
    let mut subject = "";
    for answer in &inspected.answers {
        if answer.standing == Standing::NotAsked {
            continue;
        }
        if answer.subject != subject {
            subject = &answer.subject;
            out.line("")?;
            out.line(&subject.to_uppercase())?;
        }
        paragraph(
            out,
            &format!("{:>3}. ", answer.number),
            &format!("{} {}", answer.question, answer.standing.word()),
        )?;
        for (caption, text) in [
            ("", &answer.says),
            ("fetch: ", &answer.fetch),
            ("clause: ", &answer.clause),
        ] {
            if !text.is_empty() {
                paragraph(out, "       ", &plain_text(&format!("{caption}{text}")))?;
            }
        }
    }
    out.line("")
}

/// `--module SERIAL`
pub(super) fn module(
    serial: &str,
    args: &AuditArgs,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut found: Vec<ModuleFile> = Vec::new();
    let look = |dossier: &audit::Dossier| {
        audit::module_file(dossier, serial, &[]).map(|_| {
            let audited = audit::audit(dossier, None);
            audit::module_file(dossier, serial, &audited.findings)
        })
    };
    let run = run(&asked, &look, &mut |_, file| {
        found.extend(file.flatten().flatten());
        Ok(())
    })?;
    if out.format() == Format::Json {
        json(out, &found)?;
    } else if found.is_empty() {
        out.line(&format!("No module {serial} in {} jobs.", run.looked_at))?;
    }
    if out.format() != Format::Json {
        for file in &found {
            shown_file(file, out)?;
        }
    }
    Ok(if found.is_empty() {
        Exit::No
    } else {
        Exit::Done
    })
}

fn shown_file(file: &ModuleFile, out: &mut dyn Answer) -> io::Result<()> {
    let read = if file.serial_read {
        "read from the module"
    } else {
        "not read; a job serial"
    };
    out.line(&plain_text(&format!("Module {} ({read})", file.serial)))?;
    paragraph(
        out,
        "",
        &plain_text(&format!(
            "{} of {}, {} ({})",
            file.module, file.job, file.site, file.source
        )),
    )?;
    let pairs: Vec<String> = file
        .facts
        .iter()
        .map(|(caption, text)| plain_text(&format!("{caption}: {text}")))
        .collect();
    list(out, "What it is:", &pairs)?;
    list(out, "How it may travel:", &file.decisions)?;
    list(out, "Papers:", &file.papers)?;
    list(out, "Changed hands:", &file.hands)?;
    if !file.certificate.is_empty() {
        paragraph(out, "Certificate: ", &file.certificate)?;
    }
    list(out, "MISSING from a whole life:", &file.missing)?;
    let findings: Vec<String> = file
        .findings
        .iter()
        .map(|one| {
            plain_text(&format!(
                "{} [{}] {}: {}",
                one.severity.word(),
                one.check,
                one.what,
                one.found
            ))
        })
        .collect();
    list(out, "Findings:", &findings)?;
    out.line("What happened, entry by entry (* the module's own):")?;
    for line in &file.life {
        let outcome = if line.outcome.is_empty() {
            String::new()
        } else {
            format!(", {}", line.outcome)
        };
        paragraph(
            out,
            &format!("{:>4}{} ", line.entry, if line.own { "*" } else { " " }),
            &plain_text(&format!(
                "{} {} {}{outcome}: {}",
                line.at, line.step, line.who, line.does
            )),
        )?;
        if line.own && !line.says.is_empty() {
            paragraph(out, "       ", &plain_text(&line.says.join("; ")))?;
        }
    }
    out.line("")
}

/// `--training`
pub(super) fn training(args: &AuditArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut matrix = TrainingMatrix::default();
    run(&asked, &audit::trained, &mut |_, rows| {
        matrix.add(rows.unwrap_or_default());
        Ok(())
    })?;
    let rows = matrix.rows();
    let after: u64 = rows.iter().map(|row| row.signed_after).sum();
    if out.format() == Format::Json {
        json(out, &rows)?;
    } else {
        let cells = rows.iter().map(|row| {
            vec![
                plain_text(&row.person),
                row.role.clone(),
                plain_text(&row.covers),
                row.until.to_string(),
                row.stands.words().to_owned(),
                row.signed.to_string(),
            ]
        });
        table(
            out,
            &["person", "role", "covers", "until", "stands", "signed"],
            cells,
        )?;
        paragraph(
            out,
            "",
            &format!(
                "As of {}. The gate refuses a step by anybody without the role in date on that day; {after} steps were signed after the last day. Day, material, trainer and test of each training are not in a plan: keep the training records beside it.",
                asked.day
            ),
        )?;
    }
    Ok(if after == 0 { Exit::Done } else { Exit::No })
}

/// `--retention`
pub(super) fn retention(args: &AuditArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut items = JsonList { given: 0 };
    let mut jobs = 0_u64;
    let mut kept: Vec<Kept> = Vec::new();
    let mut held_seen: Vec<&String> = Vec::new();
    let look = |dossier: &audit::Dossier| {
        let held = args.legal_hold.contains(&dossier.plan().job);
        audit::calendar(dossier, held)
    };
    run(&asked, &look, &mut |audited, rows| {
        jobs += 1;
        held_seen.extend(args.legal_hold.iter().filter(|job| **job == audited.job));
        let rows = rows.unwrap_or_default();
        if out.format() == Format::Json {
            for row in &rows {
                said(items.push(out, row))?;
            }
        } else {
            kept.extend(rows);
        }
        Ok(())
    })?;
    if let Some(job) = args.legal_hold.iter().find(|job| !held_seen.contains(job)) {
        return Err(CommandError::Argument(format!(
            "--legal-hold: no job `{job}` among the {jobs} looked at"
        )));
    }
    if out.format() == Format::Json {
        items.end(out)?;
        return Ok(Exit::Done);
    }
    kept.sort();
    for row in &kept {
        let stands = if row.legal_hold {
            "LEGAL HOLD"
        } else if row.may_go {
            "may go    "
        } else {
            "keep      "
        };
        let says = format!("{}: {} ({}; {})", row.job, row.what, row.region, row.clause);
        paragraph(
            out,
            &format!("{}  {stands}  ", row.until),
            &plain_text(&says),
        )?;
    }
    paragraph(
        out,
        "",
        &format!(
            "As of {}. A file goes only when its longest period is over, and never under a legal hold. This program deletes nothing.",
            asked.day
        ),
    )?;
    Ok(Exit::Done)
}

/// `--masses`
pub(super) fn masses(args: &AuditArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut report = MassReport::default();
    run(&asked, &audit::mass_part, &mut |_, part| {
        if let Some(part) = part.flatten() {
            report.add(part);
        }
        Ok(())
    })?;
    let lines = report.lines();
    if out.format() == Format::Json {
        json(out, &lines)?;
        return Ok(Exit::Done);
    }
    let rows = lines.iter().map(|line| {
        vec![
            line.month.clone(),
            line.chemistry.clone(),
            format!(
                "{}, {} kg, {} kWh",
                line.removed, line.removed_kg, line.energy_kwh
            ),
            line.packed.to_string(),
            line.handed_over.to_string(),
            line.received.to_string(),
            format!("{}, {} kg", line.treated, line.treated_kg),
        ]
    });
    table(
        out,
        &[
            "month",
            "chemistry",
            "removed",
            "packed",
            "handed over",
            "received",
            "treated",
        ],
        rows,
    )?;
    for line in &lines {
        if line.unweighed > 0 {
            out.line(&format!(
                "{}: {} modules were not weighed and are not in the mass.",
                line.month, line.unweighed
            ))?;
        }
        if !line.materials.is_empty() {
            paragraph(
                out,
                "",
                &format!(
                    "{} {}, material in what was removed, from a table of home modules: {}.",
                    line.month,
                    line.chemistry,
                    line.materials.join(", ")
                ),
            )?;
        }
    }
    Ok(Exit::Done)
}

/// `--certificate FILE`
pub(super) fn certificate(
    file: &std::path::Path,
    args: &AuditArgs,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut certificate = read_certificate(file)?;
    run(&asked, &audit::handed_over, &mut |audited, handed| {
        certificate.add(&audited.job, handed.unwrap_or_default());
        Ok(())
    })?;
    let found = certificate.end();
    if out.format() == Format::Json {
        json(out, &found)?;
    } else {
        let unmatched = |list: &[audit::Unmatched]| {
            list.iter()
                .map(|one| {
                    let age = one
                        .days
                        .map(|days| format!(", handed over {days} days ago"));
                    let age = age.unwrap_or_default();
                    plain_text(&format!("{} ({}{age})", one.serial, one.place))
                })
                .collect::<Vec<_>>()
        };
        list(
            out,
            "Handed over, and not on the certificate:",
            &unmatched(&found.missing),
        )?;
        list(
            out,
            "On the certificate, and removed by no job:",
            &unmatched(&found.never_removed),
        )?;
        list(out, "On the certificate more than once:", &found.twice)?;
        out.line(&format!(
            "{} of {} rows matched serial by serial; {} missing, {} never removed, {} twice.",
            found.matched,
            found.rows,
            found.missing.len(),
            found.never_removed.len(),
            found.twice.len()
        ))?;
    }
    Ok(if found.is_whole() {
        Exit::Done
    } else {
        Exit::No
    })
}
