//! The whole audit as one document: for the terminal, for programs, for a page.

use std::io::Write;
use std::path::Path;

use serde::Serialize;

use super::run::AuditRun;
use crate::actions::ActionError;
use crate::audit::{CHECKS, Counted, Finding, Severity, Summary};
use crate::papers::{PaperError, audit_report, finding_heads, findings_datapackage};
use crate::store::{StoreError, describe_beside};

/// Findings kept for a page; what goes beyond is counted and said.
pub const MOST_KEPT: usize = 50_000;

/// An audit with what it was asked.
#[derive(Debug, Clone, Serialize)]
pub struct AuditReport {
    /// Form of this document, `1.0`.
    pub format: &'static str,
    /// The program that made it.
    pub program: String,
    /// Day to which deadlines were counted.
    pub day: String,
    /// Jobs and bundles that there are.
    pub there: usize,
    /// Of these looked at.
    pub looked_at: usize,
    /// Share that was asked for, as typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sample: Option<String>,
    /// Seed that picks the same ones again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// What was found, counted.
    pub summary: Summary,
    /// What was found, the gravest first.
    pub findings: Vec<Finding>,
    /// Findings beyond those that are kept.
    pub not_kept: u64,
    /// Every check that was asked.
    pub checks: Vec<CheckShown>,
}

/// A check as a reader sees it.
#[derive(Debug, Clone, Serialize)]
pub struct CheckShown {
    /// Permanent name.
    pub id: &'static str,
    /// What it is about.
    pub subject: &'static str,
    /// The question.
    pub question: &'static str,
    /// How grave a "no" is.
    pub severity: Severity,
    /// Where it is written, and how that is known.
    pub clause: String,
}

impl AuditReport {
    /// The report of a run.
    #[must_use]
    pub fn of(run: AuditRun, mut findings: Vec<Finding>, day: String) -> Self {
        findings.sort();
        let kept = u64::try_from(findings.len()).unwrap_or(u64::MAX);
        Self {
            format: "1.0",
            program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
            day,
            there: run.there,
            looked_at: run.looked_at,
            sample: None,
            seed: None,
            not_kept: run.summary.total.findings.saturating_sub(kept),
            summary: run.summary,
            findings,
            checks: CHECKS
                .iter()
                .map(|check| CheckShown {
                    id: check.id,
                    subject: check.subject.words(),
                    question: check.question,
                    severity: check.severity,
                    clause: check.shown_clause(),
                })
                .collect(),
        }
    }

    /// Findings of one weight.
    pub fn of_severity(&self, severity: Severity) -> impl Iterator<Item = &Finding> {
        self.findings
            .iter()
            .filter(move |finding| finding.severity == severity)
    }

    /// The question of a check.
    #[must_use]
    pub fn question(&self, id: &str) -> &'static str {
        self.checks
            .iter()
            .find(|check| check.id == id)
            .map_or("", |check| check.question)
    }

    /// The report as a page; `template` is the user's own text.
    ///
    /// # Errors
    /// A template that does not read or asks for a name the report does not have.
    pub fn html(&self, template: Option<&str>) -> Result<String, PaperError> {
        let sections: Vec<Section<'_>> = Severity::ALL
            .into_iter()
            .map(|severity| Section {
                word: severity.word(),
                means: means(severity),
                count: self.of_severity(severity).count(),
                checks: self.by_check(severity),
            })
            .filter(|section| section.count > 0)
            .collect();
        let mut subjects: Vec<ShownSubject<'_>> = Vec::new();
        for check in &self.checks {
            let counted = self
                .summary
                .by_check
                .iter()
                .find(|one| one.name == check.id);
            let row = AskedCheck {
                check,
                severity: check.severity.word(),
                findings: counted.map_or(0, |one| one.findings),
            };
            match subjects.iter_mut().find(|one| one.words == check.subject) {
                Some(subject) => subject.checks.push(row),
                None => subjects.push(ShownSubject {
                    words: check.subject,
                    checks: vec![row],
                }),
            }
        }
        audit_report::html(
            &Page {
                program: &self.program,
                day: &self.day,
                there: self.there,
                looked_at: self.looked_at,
                sample: self.sample.as_deref(),
                seed: self.seed,
                summary: &self.summary,
                total: &self.summary.total,
                not_kept: self.not_kept,
                sections,
                subjects,
            },
            template,
        )
    }

    fn by_check(&self, severity: Severity) -> Vec<ShownCheck<'_>> {
        let mut shown: Vec<ShownCheck<'_>> = Vec::new();
        for finding in self.of_severity(severity) {
            match shown.last_mut() {
                Some(last) if last.id == finding.check => {
                    last.findings.push(ShownFinding::of(finding))
                }
                _ => shown.push(ShownCheck {
                    id: &finding.check,
                    question: self.question(&finding.check),
                    findings: vec![ShownFinding::of(finding)],
                }),
            }
        }
        shown
    }
}

/// What a weight means, for a reader.
#[must_use]
pub const fn means(severity: Severity) -> &'static str {
    match severity {
        Severity::Critical => {
            "somebody could have been hurt, or nobody can say where the goods were"
        }
        Severity::Major => "the record would not be accepted, or a duty of law was not met",
        Severity::Minor => "weak evidence, to be put right before an inspector asks",
        Severity::Note => "to be looked at; perhaps nothing is wrong",
    }
}

#[derive(Serialize)]
struct Page<'a> {
    program: &'a str,
    day: &'a str,
    there: usize,
    looked_at: usize,
    sample: Option<&'a str>,
    seed: Option<u64>,
    summary: &'a Summary,
    total: &'a Counted,
    not_kept: u64,
    sections: Vec<Section<'a>>,
    subjects: Vec<ShownSubject<'a>>,
}

#[derive(Serialize)]
struct Section<'a> {
    word: &'static str,
    means: &'static str,
    count: usize,
    checks: Vec<ShownCheck<'a>>,
}

#[derive(Serialize)]
struct ShownCheck<'a> {
    id: &'a str,
    question: &'static str,
    findings: Vec<ShownFinding<'a>>,
}

/// A finding with every name that a template may ask for; empty where it does not apply.
#[derive(Serialize)]
struct ShownFinding<'a> {
    job: &'a str,
    site: &'a str,
    person: &'a str,
    module: &'a str,
    entry: String,
    step: &'a str,
    at: &'a str,
    what: &'a str,
    found: &'a str,
    limit: &'a str,
    clause: &'a str,
    way_out: &'a str,
    source: &'a str,
}

impl<'a> ShownFinding<'a> {
    fn of(finding: &'a Finding) -> Self {
        Self {
            job: &finding.job,
            site: &finding.site,
            person: finding.person.as_deref().unwrap_or_default(),
            module: finding.module.as_deref().unwrap_or_default(),
            entry: finding.entry.map_or_else(String::new, |n| n.to_string()),
            step: finding.step.as_deref().unwrap_or_default(),
            at: finding.at.as_deref().unwrap_or_default(),
            what: &finding.what,
            found: &finding.found,
            limit: &finding.limit,
            clause: &finding.clause,
            way_out: &finding.way_out,
            source: &finding.source,
        }
    }
}

#[derive(Serialize)]
struct ShownSubject<'a> {
    words: &'a str,
    checks: Vec<AskedCheck<'a>>,
}

#[derive(Serialize)]
struct AskedCheck<'a> {
    #[serde(flatten)]
    check: &'a CheckShown,
    #[serde(rename = "weight")]
    severity: &'static str,
    findings: u64,
}

/// Writes findings as CSV, row by row.
pub struct FindingsCsv<W: Write> {
    writer: csv::Writer<W>,
}

impl<W: Write> FindingsCsv<W> {
    /// Begins with the head.
    ///
    /// # Errors
    /// A writer that takes nothing.
    pub fn begin(writer: W) -> Result<Self, ActionError> {
        let mut writer = csv::Writer::from_writer(writer);
        writer.write_record(finding_heads()).map_err(wrong)?;
        Ok(Self { writer })
    }

    /// One finding.
    ///
    /// # Errors
    /// A writer that takes nothing more.
    pub fn row(&mut self, finding: &Finding) -> Result<(), ActionError> {
        let entry = finding.entry.map(|entry| entry.to_string());
        let or_empty = |text: &Option<String>| text.clone().unwrap_or_default();
        self.writer
            .write_record([
                finding.severity.word().to_owned(),
                finding.check.clone(),
                guarded(&finding.job),
                guarded(&finding.site),
                guarded(&or_empty(&finding.person)),
                guarded(&or_empty(&finding.module)),
                entry.unwrap_or_default(),
                or_empty(&finding.step),
                or_empty(&finding.at),
                guarded(&finding.what),
                guarded(&finding.found),
                guarded(&finding.limit),
                guarded(&finding.clause),
                guarded(&finding.way_out),
                guarded(&finding.source),
            ])
            .map_err(wrong)
    }

    /// Ends the file.
    ///
    /// # Errors
    /// A writer that cannot be flushed.
    pub fn end(mut self) -> Result<(), ActionError> {
        self.writer
            .flush()
            .map_err(|why| wrong(csv::Error::from(why)))
    }
}

/// Writes the Data Package of a finished table of findings beside it.
///
/// # Errors
/// A file that cannot be written.
pub fn describe_findings(table: &Path) -> Result<(), ActionError> {
    describe_beside(table, |name, bytes| Ok(findings_datapackage(name, bytes)?))
}

/// A cell that a spreadsheet takes as text, never as a formula.
fn guarded(text: &str) -> String {
    crate::papers::marked(&crate::papers::plain_text(text))
}

fn wrong(error: csv::Error) -> ActionError {
    ActionError::Store(StoreError::File {
        path: "the table of findings".into(),
        why: std::io::Error::other(error),
    })
}
