//! The findings of an audit: as text, JSON, CSV, and a page for an inspector.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;

use super::walk::{asked, run};
use crate::actions::{self, AuditReport, FindingsCsv, MOST_KEPT, means};
use crate::audit::{Counted, Finding, Sample, Severity};
use crate::cli::advice::CommandError;
use crate::cli::args::{AuditArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, paragraph, table};
use crate::store::StoreError;

/// Rows of a summary that a person reads.
const ROWS_SHOWN: usize = 12;

pub(super) fn findings(args: &AuditArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let asked = asked(args)?;
    let mut findings: Vec<Finding> = Vec::new();
    let mut csv = match &args.csv {
        Some(path) => Some(FindingsCsv::begin(writer(path)?)?),
        None => None,
    };
    let run = run(&asked, &|_| (), &mut |audited, _| {
        for finding in &audited.findings {
            if let Some(csv) = &mut csv {
                csv.row(finding)?;
            }
            if findings.len() < MOST_KEPT {
                findings.push(finding.clone());
            }
        }
        Ok(())
    })?;
    for finding in run.registers.iter().flat_map(|one| &one.findings) {
        if let Some(csv) = &mut csv {
            csv.row(finding)?;
        }
        findings.push(finding.clone());
    }
    if let Some(csv) = csv {
        csv.end()?;
        if let Some(table) = args.csv.as_deref().filter(|path| *path != Path::new("-")) {
            actions::describe_findings(table)?;
        }
    }
    let mut report = AuditReport::of(run, findings, asked.day.to_string());
    report.sample.clone_from(&args.sample);
    report.seed = asked.sample.map(Sample::seed);
    if let Some(path) = &args.html {
        let own = args.template.as_deref().map(read).transpose()?;
        let page = report
            .html(own.as_deref())
            .map_err(actions::ActionError::from)?;
        std::fs::write(path, page).map_err(StoreError::file(path))?;
    }
    let csv_on_stdout = args.csv.as_deref() == Some(Path::new("-"));
    match out.format() {
        _ if csv_on_stdout => {}
        Format::Json => json(out, &report)?,
        _ => shown(&report, out)?,
    }
    Ok(if report.summary.total.findings == 0 {
        Exit::Done
    } else {
        Exit::No
    })
}

fn writer(path: &Path) -> Result<Box<dyn Write>, StoreError> {
    Ok(if path == Path::new("-") {
        Box::new(io::stdout())
    } else {
        let file = File::create(path).map_err(StoreError::file(path))?;
        Box::new(BufWriter::new(file))
    })
}

fn read(path: &Path) -> Result<String, StoreError> {
    crate::store::read_text(path)
}

fn shown(report: &AuditReport, out: &mut dyn Answer) -> Result<(), CommandError> {
    for severity in Severity::ALL {
        let findings: Vec<&Finding> = report.of_severity(severity).collect();
        if findings.is_empty() {
            continue;
        }
        out.line(&format!(
            "{} ({}): {}",
            severity.word().to_uppercase(),
            findings.len(),
            means(severity)
        ))?;
        let mut check = "";
        for finding in findings {
            if finding.check != check {
                check = &finding.check;
                out.line("")?;
                paragraph(out, "  ", &format!("{check}: {}", report.question(check)))?;
            }
            one(finding, out)?;
        }
        out.line("")?;
    }
    if report.not_kept > 0 {
        out.line(&format!(
            "{} more findings are counted below; --csv FILE has them all.",
            report.not_kept
        ))?;
    }
    let checks = report.summary.by_check.iter();
    by("check", checks.collect(), out)?;
    by("site", report.summary.by_site.iter().collect(), out)?;
    by("person", report.summary.by_person.iter().collect(), out)?;
    let total = &report.summary.total;
    let sampled = match (&report.sample, report.seed) {
        (Some(share), Some(seed)) => format!(
            ", a sample of {share} of {} (--seed {seed} picks the same)",
            report.there
        ),
        _ => String::new(),
    };
    let registers = match report.summary.registers {
        0 => String::new(),
        1 => " and 1 register".to_owned(),
        n => format!(" and {n} registers"),
    };
    paragraph(
        out,
        "",
        &format!(
            "Audited {} jobs{sampled}{registers}, {} entries, as of {}: {} critical, {} major, {} minor, {} notes, in {} jobs.",
            report.looked_at,
            report.summary.entries,
            report.day,
            total.critical,
            total.major,
            total.minor,
            total.notes,
            report.summary.jobs_with_findings,
        ),
    )?;
    if report.summary.demo_jobs > 0 {
        paragraph(
            out,
            "",
            &format!(
                "{} of them are invented, signed with the public demo key: they prove nothing.",
                report.summary.demo_jobs
            ),
        )?;
    }
    Ok(())
}

fn one(finding: &Finding, out: &mut dyn Answer) -> io::Result<()> {
    let mut place = vec![if finding.job.is_empty() {
        finding.source.clone()
    } else {
        finding.job.clone()
    }];
    if let Some(entry) = finding.entry {
        let step = finding
            .step
            .as_deref()
            .map_or(String::new(), |step| format!(" ({step})"));
        place.push(format!("ledger entry {entry}{step}"));
    }
    place.extend(finding.module.iter().cloned());
    place.extend(finding.at.iter().cloned());
    place.extend(finding.person.iter().cloned());
    let plain = |text: &str| crate::papers::plain_text(text);
    paragraph(
        out,
        "  - ",
        &plain(&format!("{}: {}", finding.what, finding.found)),
    )?;
    for (caption, text) in [
        ("where", place.join(", ")),
        ("limit", finding.limit.clone()),
        ("clause", finding.clause.clone()),
        ("do now", finding.way_out.clone()),
    ] {
        if !text.is_empty() {
            paragraph(out, "      ", &plain(&format!("{caption}: {text}")))?;
        }
    }
    Ok(())
}

/// A summary by one name, the worst first, and only where there is more than one row to compare.
fn by(name: &str, counted: Vec<&Counted>, out: &mut dyn Answer) -> io::Result<()> {
    if counted.is_empty() {
        return Ok(());
    }
    let rows = counted.iter().take(ROWS_SHOWN).map(|one| {
        let number = |n: u64| {
            if n == 0 {
                "-".to_owned()
            } else {
                n.to_string()
            }
        };
        vec![
            crate::papers::plain_text(&one.name),
            number(one.critical),
            number(one.major),
            number(one.minor),
            number(one.notes),
        ]
    });
    table(out, &[name, "critical", "major", "minor", "notes"], rows)?;
    if counted.len() > ROWS_SHOWN {
        out.line(&format!("and {} more", counted.len() - ROWS_SHOWN))?;
    }
    out.line("")
}
