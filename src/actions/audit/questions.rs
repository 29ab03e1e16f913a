//! An inspector's questions over all jobs, counted, and as a page.

use serde::Serialize;

use crate::audit::{Answered, Standing};
use crate::papers::{PaperError, audit_report};

/// A job with its answers.
#[derive(Debug, Clone, Serialize)]
pub struct Inspected {
    /// The job.
    pub job: String,
    /// Its site.
    pub site: String,
    /// Folder or file.
    pub source: String,
    /// The answers, in the order in which inspectors ask.
    pub answers: Vec<Answered>,
}

/// Answers counted over all jobs.
#[derive(Debug, Clone, Default)]
pub struct QuestionTally {
    /// Shown from the record.
    pub shown: u64,
    /// Denied by a finding.
    pub not_so: u64,
    /// A paper is missing.
    pub missing: u64,
    /// Not asked of the job.
    pub not_asked: u64,
    /// Papers to fetch, each once.
    pub fetch: Vec<String>,
}

impl QuestionTally {
    /// Counts the answers of one job.
    pub fn add(&mut self, answers: &[Answered]) {
        for answer in answers {
            match answer.standing {
                Standing::Shown => self.shown += 1,
                Standing::NotSo => self.not_so += 1,
                Standing::NotInRecord => self.missing += 1,
                Standing::NotAsked => self.not_asked += 1,
            }
            if answer.standing == Standing::NotInRecord && !self.fetch.contains(&answer.fetch) {
                self.fetch.push(answer.fetch.clone());
            }
        }
    }

    /// The page; `template` is the user's own text.
    ///
    /// # Errors
    /// A template that does not read or asks for a name the page does not have.
    pub fn html(
        &self,
        day: &str,
        jobs: &[Inspected],
        template: Option<&str>,
    ) -> Result<String, PaperError> {
        audit_report::inspector_html(
            &Page {
                program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
                day,
                shown: self.shown,
                not_so: self.not_so,
                missing: self.missing,
                fetch: &self.fetch,
                jobs: jobs.iter().map(ShownJob::of).collect(),
            },
            template,
        )
    }
}

#[derive(Serialize)]
struct Page<'a> {
    program: String,
    day: &'a str,
    shown: u64,
    not_so: u64,
    missing: u64,
    fetch: &'a [String],
    jobs: Vec<ShownJob<'a>>,
}

#[derive(Serialize)]
struct ShownJob<'a> {
    job: &'a str,
    site: &'a str,
    source: &'a str,
    subjects: Vec<ShownSubject<'a>>,
}

#[derive(Serialize)]
struct ShownSubject<'a> {
    words: &'a str,
    answers: Vec<ShownAnswer<'a>>,
}

#[derive(Serialize)]
struct ShownAnswer<'a> {
    number: usize,
    question: &'a str,
    standing: &'static str,
    says: &'a str,
    fetch: &'a str,
    clause: &'a str,
}

impl<'a> ShownJob<'a> {
    fn of(inspected: &'a Inspected) -> Self {
        let mut subjects: Vec<ShownSubject<'a>> = Vec::new();
        for answer in &inspected.answers {
            if answer.standing == Standing::NotAsked {
                continue;
            }
            let shown = ShownAnswer {
                number: answer.number,
                question: &answer.question,
                standing: answer.standing.word(),
                says: &answer.says,
                fetch: &answer.fetch,
                clause: &answer.clause,
            };
            match subjects.last_mut() {
                Some(subject) if subject.words == answer.subject => subject.answers.push(shown),
                _ => subjects.push(ShownSubject {
                    words: &answer.subject,
                    answers: vec![shown],
                }),
            }
        }
        Self {
            job: &inspected.job,
            site: &inspected.site,
            source: &inspected.source,
            subjects,
        }
    }
}
