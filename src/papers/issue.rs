//! All papers of a job in one issue, with their hashes for the ledger.

use super::PaperError;
use super::custody;
use super::custody_of::custody_rows;
use super::decisions::{self, Decisions, ModuleDecisions};
use super::manifest::{self, Manifest};
use super::manifest_of::manifest_of;
use super::sheets;
use super::sheets_of::sheet_rows;
use crate::clock::Moment;
use crate::job::{Job, PapersBody, Verdict};
use crate::ledger::{Draft, Log, sha256, to_hex};

/// Papers as issued.
#[derive(Debug, Clone)]
pub struct Issued {
    /// Number of the issue.
    pub issue: u32,
    /// Whether they are drafts.
    pub draft: bool,
    /// File name and text of each.
    pub files: Vec<(String, String)>,
    /// Content of the manifest.
    pub manifest: Manifest,
    /// Reasons behind every answer that is not a plain yes.
    pub verdicts: Vec<Verdict>,
    last_at: Option<Moment>,
}

impl Issued {
    /// The log entry that names the papers and their hashes.
    ///
    /// # Errors
    /// A job without an entry.
    pub fn draft_entry(&self) -> Result<Draft, PaperError> {
        let body = PapersBody {
            issue: self.issue,
            draft: self.draft,
            rule_set: self.manifest.rule_set.clone(),
            papers: self
                .files
                .iter()
                .map(|(name, text)| (name.clone(), to_hex(&sha256(text.as_bytes()))))
                .collect(),
        };
        let last = self.last_at.ok_or(PaperError::NothingEntered)?;
        Ok(Draft {
            time: last,
            actor: "packdown".into(),
            kind: "papers_issued".into(),
            body: serde_json::to_value(body).map_err(|error| PaperError::Json {
                paper: "ledger entry",
                what: error.to_string(),
            })?,
            refs: Vec::new(),
            photos: Vec::new(),
        })
    }
}

/// Every paper of a job, from its entries and the log they stand in; `template` is the user's own
/// page for the manifest.
///
/// # Errors
/// Content that a paper cannot show, or a template that does not read.
pub fn papers_of(
    job: &Job,
    log: &Log,
    issue: u32,
    draft: bool,
    template: Option<&str>,
) -> Result<Issued, PaperError> {
    let verdicts = job.verdicts();
    let manifest = manifest_of(job, &verdicts, log, draft);
    let rows = custody_rows(job, log);
    let custody = custody::csv(&rows)?;
    let datapackage = custody::datapackage(&custody, Some(&to_hex(&sha256(custody.as_bytes()))))?;
    let mut files = vec![
        ("manifest.csv".to_owned(), manifest::csv(&manifest)?),
        (
            "manifest.html".to_owned(),
            manifest::html(&manifest, template)?,
        ),
        ("custody.csv".to_owned(), custody),
        ("custody.datapackage.json".to_owned(), datapackage),
        ("sheets.csv".to_owned(), sheets::csv(&sheet_rows(job))?),
    ];
    let decided = Decisions {
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
    };
    files.push(("decisions.json".to_owned(), decisions::json(&decided)?));
    Ok(Issued {
        issue,
        draft,
        files,
        manifest,
        verdicts,
        last_at: job.progress().last_at(),
    })
}
