//! The papers that are printed and signed, stuck on or handed over: pages and HTML beside the data.

use std::collections::BTreeMap;

use super::issue::{Issued, NotPrinted};
use super::manifest_of::regimes;
use super::pdf::{Drawing, Stock, pdf};
use super::sections::{self, Sections};
use super::stamp::{Stamp, is_american};
use super::words::Language;
use super::{
    PaperError, cautions, discharge, inspection, labels, manifest_pdf, materials, method, transport,
};
use crate::citation::Reason;
use crate::job::Job;
use crate::transport::rule_set;

/// How papers are printed.
#[derive(Debug, Clone, Default)]
pub struct Look {
    /// What documents are printed on; `None`: Letter where people weigh in pounds, else A4.
    pub stock: Option<Stock>,
    /// What labels are printed on; `None`: A5, or Letter where people weigh in pounds.
    pub label_stock: Option<Stock>,
    /// The user's own templates by file name, such as `transport.html`.
    pub templates: BTreeMap<String, String>,
    /// Names of the papers wanted; none named wants all.
    pub only: Vec<String>,
    /// The language of the papers' own words; sentences of rules, procedures and records stay in theirs.
    pub language: Language,
}

/// Names of the printed papers, as they are asked for.
pub(super) const PRINTED: [&str; 9] = [
    "manifest",
    "transport",
    "labels",
    "package",
    "inspection",
    "cautions",
    "method",
    "materials",
    "discharge",
];

impl Look {
    pub(super) fn own(&self, name: &str) -> Option<&str> {
        self.templates.get(name).map(String::as_str)
    }

    pub(super) fn wants(&self, paper: &str) -> bool {
        self.only.is_empty() || self.only.iter().any(|one| one == paper)
    }

    pub(super) fn stock(&self, american: bool) -> Stock {
        self.stock.unwrap_or(Stock::usual(american))
    }
}

/// Adds the printed papers of a job to an issue; what could not be printed is named in it.
///
/// # Errors
/// Content that a paper cannot show, or a template that does not read.
pub fn print_papers(job: &Job, issued: &mut Issued, look: &Look) -> Result<(), PaperError> {
    let american = is_american(job);
    let w = look.language.words();
    let manifest = issued.printed_manifest();
    let stamp = Stamp {
        words: w,
        job: manifest.job.clone(),
        issue: Some(issued.issue),
        across: manifest.draft.clone(),
        void: issued.void.clone(),
        rule_set: manifest.rule_set.clone(),
        editions: regimes(job, &issued.verdicts, w).join(", "),
        ledger: manifest.ledger.clone(),
        stock: look.stock(american),
        pounds: american,
    };
    let mut printed = Printed::default();
    if look.wants("manifest") {
        printed.pdf("manifest", manifest_pdf::file(manifest, &stamp)?);
    }
    if look.wants("transport") {
        for n in 0..job.plan().route.len() {
            printed.document(job, issued, n, &stamp, look)?;
        }
    }
    if look.wants("labels") || look.wants("package") {
        printed.labels(job, issued, &stamp, look)?;
    }
    if look.wants("inspection") {
        let sheets = inspection::inspection_sheets(job, &stamp);
        let own = look.own("inspection.html");
        printed.html("inspection", inspection::html(&sheets, &stamp, own)?);
        printed.pdf("inspection", inspection::file(&sheets, &stamp)?);
    }
    if look.wants("cautions") {
        let emergency = job.plan().consignor.emergency_telephone.as_deref();
        let sheet = cautions::cautions(manifest, emergency, &stamp);
        let own = look.own("cautions.html");
        printed.html("cautions", cautions::html(&sheet, own)?);
        printed.pdf("cautions", cautions::file(&sheet, &stamp)?);
    }
    if look.wants("method") {
        let statement = method::method_in(job, w);
        let own = look.own("method.html");
        printed.html("method", method::html(&statement, &stamp, own)?);
        printed.pdf("method", method::file(&statement, &stamp)?);
    }
    if look.wants("materials") {
        printed.materials(job, &stamp, look)?;
    }
    if look.wants("discharge") {
        match discharge::discharge_record(job, &stamp) {
            Ok(paper) => printed.sections("discharge", &paper, &stamp, look)?,
            Err(reasons) => printed.not_asked_for("discharge", reasons, look),
        }
    }
    issued.printed.extend(printed.files);
    issued.not_printed.extend(printed.not);
    Ok(())
}

/// The method statement as a PDF, before there is a ledger: issue 0.
///
/// # Errors
/// A font that cannot be read: a bug.
pub fn print_method(job: &Job, look: &Look) -> Result<Vec<u8>, PaperError> {
    let american = is_american(job);
    let stamp = Stamp {
        words: look.language.words(),
        job: job.plan().job.clone(),
        issue: Some(0),
        across: None,
        void: None,
        rule_set: rule_set().name().to_owned(),
        editions: String::new(),
        ledger: None,
        stock: look.stock(american),
        pounds: american,
    };
    method::file(&method::method_in(job, stamp.words), &stamp)
}

/// Files as they are made, and what could not be.
#[derive(Default)]
struct Printed {
    files: Vec<(String, Vec<u8>)>,
    not: Vec<NotPrinted>,
}

impl Printed {
    /// The transport document of a leg, or why there is none.
    fn document(
        &mut self,
        job: &Job,
        issued: &Issued,
        n: usize,
        stamp: &Stamp,
        look: &Look,
    ) -> Result<(), PaperError> {
        let name = format!("transport-{}", n + 1);
        match transport::transport_document(job, &issued.verdicts, n, stamp) {
            Ok(document) => {
                let own = look.own("transport.html");
                self.html(&name, transport::html(&document, own)?);
                self.pdf(&name, transport::file(&document, stamp)?);
            }
            Err(reasons) => self.not.push(NotPrinted {
                paper: name,
                reasons,
            }),
        }
        Ok(())
    }

    /// Labels and marks, and the packages' own labels, or why there are none.
    fn labels(
        &mut self,
        job: &Job,
        issued: &Issued,
        stamp: &Stamp,
        look: &Look,
    ) -> Result<(), PaperError> {
        let w = stamp.words;
        let usual = if stamp.pounds {
            Stock::Letter
        } else {
            Stock::A5
        };
        let stock = look.label_stock.unwrap_or(usual);
        let packages = labels::package_labels(job, &issued.verdicts, stamp);
        for (name, title) in [("labels", w.labels), ("package", w.package_label)] {
            if !look.wants(name) {
                continue;
            }
            let sheets = match &packages {
                Ok(packages) if name == "labels" => labels::label_pages(packages, stock, stamp),
                Ok(packages) => labels::package_pages(packages, stock, stamp),
                Err(reasons) => {
                    self.not.push(NotPrinted {
                        paper: name.to_owned(),
                        reasons: reasons.clone(),
                    });
                    continue;
                }
            };
            let own = look.own("labels.html");
            self.html(name, labels::html(title, &sheets, stamp, own)?);
            let pages: Vec<Drawing> = sheets.into_iter().map(|sheet| sheet.drawing).collect();
            self.pdf(name, pdf(&format!("{title} {}", stamp.job), &pages)?);
        }
        Ok(())
    }

    /// What the modules are made of, where they go to recycling; else why not, if it was asked for.
    fn materials(&mut self, job: &Job, stamp: &Stamp, look: &Look) -> Result<(), PaperError> {
        let reasons = materials::not_for_recycling(job);
        if reasons.is_empty() {
            let content = materials::materials_of(job, stamp.words);
            let paper = materials::sections(&content, stamp);
            return self.sections("materials", &paper, stamp, look);
        }
        self.not_asked_for("materials", reasons, look);
        Ok(())
    }

    fn sections(
        &mut self,
        name: &str,
        paper: &Sections,
        stamp: &Stamp,
        look: &Look,
    ) -> Result<(), PaperError> {
        let file = format!("{name}.html");
        self.html(name, sections::html(paper, &file, stamp, look.own(&file))?);
        self.pdf(name, sections::file(paper, stamp)?);
        Ok(())
    }

    /// A paper that not every job has is missed only where it was asked for by name.
    fn not_asked_for(&mut self, name: &str, reasons: Vec<Reason>, look: &Look) {
        if !look.only.is_empty() {
            self.not.push(NotPrinted {
                paper: name.to_owned(),
                reasons,
            });
        }
    }

    fn html(&mut self, name: &str, text: String) {
        self.files.push((format!("{name}.html"), text.into_bytes()));
    }

    fn pdf(&mut self, name: &str, bytes: Vec<u8>) {
        self.files.push((format!("{name}.pdf"), bytes));
    }
}
