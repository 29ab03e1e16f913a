//! All papers of a job in one issue, with their hashes for the ledger.

use super::PaperError;
use super::custody;
use super::custody_handed::onward_rows;
use super::custody_of::custody_rows;
use super::data::DATA;
use super::decisions::{self, Decisions, ModuleDecisions};
use super::manifest::{self, Manifest};
use super::manifest_of::manifest_in;
use super::print::{Look, PRINTED};
use super::sheets;
use super::sheets_of::sheet_rows;
use super::small_load::small_loads;
use super::stamp::{is_american, ledger_mark};
use super::words::{Language, StateWords};
use serde::Serialize;

use crate::citation::Reason;
use crate::clock::Moment;
use crate::job::{Job, PAPERS_ISSUED, PapersBody, Verdict};
use crate::ledger::{Draft, Log, sha256, to_hex};
use crate::transport::Decision;

/// Papers that every job leaves beside its plan.
const BASE: [&str; 4] = ["manifest", "custody", "sheets", "decisions"];

/// A paper that could not be printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotPrinted {
    /// Its name, such as `transport-1`.
    pub paper: String,
    /// What is missing or forbidden, where that is written, and what to do.
    pub reasons: Vec<Reason>,
}

/// Papers as issued.
#[derive(Debug, Clone)]
pub struct Issued {
    /// Number of the issue.
    pub issue: u32,
    /// Whether they may not be used: drafts, or void.
    pub draft: bool,
    /// Why they make the papers before them void.
    pub void: Option<String>,
    /// File name and bytes of the data and the manifest's page; these lie beside the plan too.
    pub files: Vec<(String, Vec<u8>)>,
    /// The same of what is printed, signed and stuck on; only in the folder of the issue.
    pub printed: Vec<(String, Vec<u8>)>,
    /// Papers that a missing fact, or a no, keeps from being printed.
    pub not_printed: Vec<NotPrinted>,
    /// Content of the manifest, in English as data is.
    pub manifest: Manifest,
    /// The same in the language of the papers, where that is another.
    pub(super) said: Option<Manifest>,
    /// Reasons behind every answer that is not a plain yes.
    pub verdicts: Vec<Verdict>,
    pub(super) last_at: Option<Moment>,
}

impl Issued {
    /// Every file of the issue.
    pub fn all_files(&self) -> impl Iterator<Item = &(String, Vec<u8>)> {
        self.files.iter().chain(&self.printed)
    }

    /// Adds data for other programs to the files that every issue has: that of the papers named;
    /// none named adds all.
    pub fn add_data(&mut self, data: Vec<(String, Vec<u8>)>, papers: &[String]) {
        let before = self.files.len();
        self.files.extend(data);
        let named = |of: &str| papers.is_empty() || papers.iter().any(|name| name == of);
        let mut place = 0;
        self.files.retain(|(file, _)| {
            place += 1;
            place <= before || named(paper_of_file(file))
        });
        self.not_printed
            .retain(|one| named(paper_of_file(&one.paper)));
    }

    /// Keeps only the files of the papers named; none named keeps all.
    pub fn keep_only(&mut self, papers: &[String]) {
        if papers.is_empty() {
            return;
        }
        for files in [&mut self.files, &mut self.printed] {
            files.retain(|(file, _)| papers.iter().any(|name| name == paper_of_file(file)));
        }
        self.not_printed
            .retain(|one| papers.iter().any(|name| name == paper_of_file(&one.paper)));
    }

    /// The manifest in the language of the papers.
    pub(super) fn printed_manifest(&self) -> &Manifest {
        self.said.as_ref().unwrap_or(&self.manifest)
    }

    /// The log entry that names the papers and their hashes.
    ///
    /// # Errors
    /// A job without an entry.
    pub fn draft_entry(&self) -> Result<Draft, PaperError> {
        let body = PapersBody {
            issue: self.issue,
            draft: self.draft,
            void: self.void.clone(),
            rule_set: self.manifest.rule_set.clone(),
            papers: self
                .all_files()
                .map(|(name, bytes)| (name.clone(), to_hex(&sha256(bytes))))
                .collect(),
        };
        let last = self.last_at.ok_or(PaperError::NothingEntered)?;
        Ok(Draft {
            time: last,
            actor: "packdown".into(),
            kind: PAPERS_ISSUED.into(),
            body: serde_json::to_value(body).map_err(|error| PaperError::Json {
                paper: "ledger entry",
                what: error.to_string(),
            })?,
            refs: Vec::new(),
            photos: Vec::new(),
        })
    }
}

/// Refuses a name that no paper has, before anything is opened for it.
///
/// # Errors
/// The first such name, with the names there are.
pub fn refuse_unknown(papers: &[String]) -> Result<(), PaperError> {
    let known = || {
        let mut known: Vec<&str> = Vec::new();
        for name in BASE.iter().chain(&PRINTED).chain(&DATA) {
            if !known.contains(name) {
                known.push(name);
            }
        }
        known
    };
    match papers.iter().find(|name| !known().contains(&name.as_str())) {
        None => Ok(()),
        Some(name) => Err(PaperError::NoSuchPaper {
            name: name.clone(),
            known: known().into_iter().map(str::to_owned).collect(),
        }),
    }
}

/// The paper that a file belongs to: `custody` of `custody.datapackage.json`, `transport` of
/// `transport-2.pdf`.
#[must_use]
pub fn paper_of_file(file: &str) -> &str {
    let stem = file.split('.').next().unwrap_or(file);
    match stem.rsplit_once('-') {
        Some((name, number)) if number.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => stem,
    }
}

/// The custody table of a job as it stands, and the data package that describes it.
///
/// # Errors
/// Content that the table cannot show.
pub fn custody_table(job: &Job, log: &Log) -> Result<(String, String), PaperError> {
    let table = custody::csv(&custody_rows(job, log))?;
    let hash = to_hex(&sha256(table.as_bytes()));
    let datapackage = custody::datapackage(&table, Some(&hash))?;
    Ok((table, datapackage))
}

/// The custody table of a load that a site sent on and its description, from the load's own log.
///
/// # Errors
/// Content that the table cannot show.
pub fn onward_table(log: &Log) -> Result<(String, String), PaperError> {
    let table = custody::csv(&onward_rows(log))?;
    let hash = to_hex(&sha256(table.as_bytes()));
    let datapackage = custody::datapackage(&table, Some(&hash))?;
    Ok((table, datapackage))
}

/// The papers of a job that every job leaves beside its plan, those named in `look` or all of them,
/// from its entries and the log they stand in: what is not asked for costs more than half of the
/// time. Data is English; the manifest's page is in the language of `look`.
///
/// # Errors
/// Content that a paper cannot show, or a template that does not read.
pub fn papers_of(
    job: &Job,
    log: &Log,
    issue: u32,
    draft: bool,
    look: &Look,
) -> Result<Issued, PaperError> {
    papers_across(job, log, issue, look, |says| draft.then_some(says.draft))
}

/// The same papers with `VOID` across: they go to everybody who holds the ones before, and say why.
///
/// # Errors
/// Content that a paper cannot show, or a template that does not read.
pub fn void_papers_of(
    job: &Job,
    log: &Log,
    issue: u32,
    why: &str,
    look: &Look,
) -> Result<Issued, PaperError> {
    let mut issued = papers_across(job, log, issue, look, |says| Some(says.void))?;
    issued.void = Some(why.to_owned());
    Ok(issued)
}

fn papers_across(
    job: &Job,
    log: &Log,
    issue: u32,
    look: &Look,
    across: impl Fn(&StateWords) -> Option<&'static str>,
) -> Result<Issued, PaperError> {
    let wanted = |paper: &str| look.wants(paper);
    let verdicts = job.verdicts();
    let content = |language: Language| {
        let across = across(&language.words().states);
        manifest_in(job, &verdicts, ledger_mark(log), issue, across, language)
    };
    let manifest = content(Language::ENGLISH);
    let is_other = look.language != Language::ENGLISH;
    let said = is_other.then(|| content(look.language));
    let mut files: Vec<(String, Vec<u8>)> = Vec::new();
    let mut push = |name: &str, text: String| files.push((name.to_owned(), text.into_bytes()));
    if wanted("manifest") {
        push("manifest.csv", manifest::csv(&manifest)?);
        let stock = look.stock(is_american(job));
        let shown = said.as_ref().unwrap_or(&manifest);
        let own = look.own("manifest.html");
        push("manifest.html", manifest::html_on(shown, stock, own)?);
    }
    if wanted("custody") {
        let (custody, datapackage) = custody_table(job, log)?;
        push("custody.csv", custody);
        push("custody.datapackage.json", datapackage);
    }
    if wanted("sheets") {
        push("sheets.csv", sheets::csv(&sheet_rows(job))?);
    }
    if wanted("decisions") {
        let decided = decided(job, &manifest, &verdicts);
        push("decisions.json", decisions::json(&decided)?);
    }
    Ok(Issued {
        issue,
        draft: manifest.draft.is_some(),
        void: None,
        files,
        printed: Vec::new(),
        not_printed: Vec::new(),
        manifest,
        said,
        verdicts,
        last_at: job.progress().last_at(),
    })
}

/// The decision on each module for each leg.
fn decided<'v>(job: &Job, manifest: &Manifest, verdicts: &'v [Verdict]) -> Decisions<&'v Decision> {
    Decisions {
        job: job.plan().job.clone(),
        rule_set: manifest.rule_set.clone(),
        issued: job.progress().last_at(),
        modules: (0..job.frame().modules.len())
            .map(|module| ModuleDecisions {
                module: job
                    .frame()
                    .modules
                    .get(module)
                    .map_or(String::new(), |m| m.id.clone()),
                serial: job.identity(module).0,
                decisions: verdicts
                    .iter()
                    .filter(|verdict| verdict.module == module)
                    .map(|verdict| &verdict.decision)
                    .collect(),
            })
            .collect(),
        small_loads: small_loads(job, verdicts),
    }
}
