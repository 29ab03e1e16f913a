//! The whole file of one module, from the wall to the certificate: what an inspector asks first.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Dossier, Finding, Side};
use crate::ledger::to_hex;
use crate::procedure::{Kind, Outcome};

/// One line of a module's life.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LifeLine {
    /// Number in the log.
    pub entry: u64,
    /// Leaf of the entry, lower-case hex: what a proof of inclusion is made for.
    pub leaf: String,
    /// When.
    pub at: String,
    /// Who, by name, with the second person.
    pub who: String,
    /// The step, or what kind of entry it is.
    pub step: String,
    /// What the step does.
    pub does: String,
    /// Readings and answers.
    pub says: Vec<String>,
    /// What became of it, where that is not "passed".
    pub outcome: String,
    /// Whether it is this module's own, or the whole job's.
    pub own: bool,
}

/// The whole file of one module.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ModuleFile {
    /// Serial, or the job serial where it cannot be read.
    pub serial: String,
    /// Whether it was read from the module.
    pub serial_read: bool,
    /// Name in the job.
    pub module: String,
    /// The job, and where it was read from.
    pub job: String,
    /// Folder or file.
    pub source: String,
    /// Where it stood.
    pub site: String,
    /// What it is, line by line: caption and text.
    pub facts: Vec<(String, String)>,
    /// How it may travel, leg by leg, under the edition of that day.
    pub decisions: Vec<String>,
    /// Papers that were issued, with their hashes.
    pub papers: Vec<String>,
    /// Changes of hands.
    pub hands: Vec<String>,
    /// Certificate of the treater; empty where none names the serial.
    pub certificate: String,
    /// What is missing of a whole life.
    pub missing: Vec<String>,
    /// Findings on the job that touch the module.
    pub findings: Vec<Finding>,
    /// Everything that happened to it, in order.
    pub life: Vec<LifeLine>,
}

/// The file of the module with that serial; `None` where the job has none.
///
/// `serial` is the serial as read or planned, or the job serial; letter case does not count.
#[must_use]
pub fn module_file(dossier: &Dossier, serial: &str, findings: &[Finding]) -> Option<ModuleFile> {
    let wanted = |text: &str| text.trim().eq_ignore_ascii_case(serial.trim());
    let module = (0..dossier.frame().modules.len()).find(|module| {
        let planned = dossier
            .frame()
            .modules
            .get(*module)
            .and_then(|one| one.serial.as_deref());
        wanted(&dossier.job.identity(*module).0) || planned.is_some_and(wanted)
    })?;
    let id = dossier.module_id(module).to_owned();
    let (identity, serial_read) = dossier.job.identity(module);
    let sheet = dossier.job.sheet(module);
    let mut facts = Vec::new();
    let mut fact = |caption: &str, text: Option<String>| {
        if let Some(text) = text.filter(|text| !text.is_empty()) {
            facts.push((caption.to_owned(), text));
        }
    };
    let number = |value: Option<crate::units::Decimal>, unit: &str| {
        value.map(|value| format!("{value} {unit}"))
    };
    fact("type", sheet.model.clone());
    fact("place in the store", Some(sheet.position.to_string()));
    fact("terminal voltage", number(sheet.terminal_voltage_v, "V"));
    fact("surface", number(sheet.surface_temperature_c, "degrees C"));
    fact(
        "state of charge",
        Some(format!(
            "{} to {} %",
            sheet.state_of_charge.low_percent, sheet.state_of_charge.high_percent
        )),
    );
    fact("findings", Some(sheet.findings.join(", ")));
    fact(
        "soundness",
        sheet.soundness.map(|one| one.word().to_owned()),
    );
    fact("judged by", sheet.judged_by.clone());
    fact("criteria", sheet.criteria_source.clone());
    fact("net mass", number(sheet.net_mass_kg, "kg"));
    fact("covers", sheet.terminal_covers.clone());
    fact("package", sheet.package.clone());
    fact("packaging", sheet.packaging.clone());
    fact("seal", sheet.seal.clone());
    let certificate = dossier
        .last("Z11", None)
        .filter(|one| {
            one.entry
                .evidence
                .texts("serials")
                .contains(&identity.as_str())
        })
        .map(|one| {
            format!(
                "{} of {}, {} (entry {})",
                one.entry.evidence.text("certificate").unwrap_or("?"),
                one.entry.at.local_day(),
                one.entry.evidence.text("treatment").unwrap_or("?"),
                one.seq
            )
        })
        .or_else(|| Some(dossier.certified(&identity)?.words.clone()))
        .unwrap_or_default();
    let mut missing = Vec::new();
    if !serial_read {
        missing.push("serial as read from the module".to_owned());
    }
    if sheet.soundness.is_none() {
        missing.push("judgement of its soundness".to_owned());
    }
    if !sheet.removed {
        missing.push("removal".to_owned());
    }
    if sheet.package.is_none() {
        missing.push("package".to_owned());
    }
    if dossier.issues.is_empty() {
        missing.push("papers".to_owned());
    }
    for (side, word) in [(Side::Gave, "hand-over"), (Side::Took, "receipt")] {
        if !dossier.exchanges.iter().any(|one| one.side == side) {
            missing.push(word.to_owned());
        }
    }
    if certificate.is_empty() {
        missing.push("certificate of the treater that names the serial".to_owned());
    }
    Some(ModuleFile {
        decisions: dossier
            .decisions()
            .iter()
            .filter(|verdict| verdict.module == module)
            .map(|verdict| {
                let entry = verdict.decision.entry.as_ref();
                format!(
                    "{}: {}, {}, {}",
                    verdict.decision.edition,
                    serde_json::to_value(verdict.decision.answer)
                        .ok()
                        .and_then(|word| word.as_str().map(|word| word.replace('_', " ")))
                        .unwrap_or_default(),
                    entry.map_or("no entry", |entry| &*entry.un),
                    verdict.decision.packing_instructions.join(" or ")
                )
            })
            .collect(),
        papers: dossier
            .issues
            .iter()
            .flat_map(|issue| {
                issue.body.papers.iter().map(move |(name, hash)| {
                    format!("issue {}, {name}, sha256 {hash}", issue.body.issue)
                })
            })
            .collect(),
        hands: dossier
            .exchanges
            .iter()
            .map(|one| {
                format!(
                    "{} {} to {} at {} (entry {} of {})",
                    one.at,
                    if one.from.is_empty() { "?" } else { &one.from },
                    if one.to.is_empty() { "?" } else { &one.to },
                    if one.place.is_empty() {
                        "?"
                    } else {
                        &one.place
                    },
                    one.seq,
                    one.log
                )
            })
            .collect(),
        certificate,
        missing,
        findings: findings
            .iter()
            .filter(|finding| finding.module.as_deref().is_none_or(|module| module == id))
            .cloned()
            .collect(),
        life: life(dossier, module),
        serial: identity,
        serial_read,
        module: id,
        job: dossier.plan().job.clone(),
        source: dossier.source.clone(),
        site: format!(
            "{}, {}",
            dossier.plan().site.name,
            dossier.plan().site.address
        ),
        facts,
    })
}

/// Everything of the module and of the whole job, in order; what is another module's alone is not
/// this one's.
fn life(dossier: &Dossier, module: usize) -> Vec<LifeLine> {
    let frame = dossier.frame();
    dossier
        .entries
        .iter()
        .filter(|one| one.slot.is_none_or(|slot| slot == module))
        .map(|one| {
            let name = |id: &str| frame.name_of(id).to_owned();
            let who = match one.entry.with.as_deref() {
                Some(with) => format!("{} with {}", name(&one.entry.by), name(with)),
                None => name(&one.entry.by),
            };
            let leaf = dossier.record.log.leaf(one.seq);
            let mut says: Vec<String> = one
                .entry
                .evidence
                .iter()
                .map(|(name, value)| format!("{}: {value}", name.replace('_', " ")))
                .collect();
            says.extend(one.entry.reason.iter().map(|why| format!("reason: {why}")));
            if one.first_written.is_some() {
                says.push("as corrected; the old entry stands in the log".into());
            }
            LifeLine {
                entry: one.seq,
                leaf: leaf.map_or_else(String::new, |leaf| to_hex(&leaf)),
                at: one.entry.at.to_string(),
                who,
                step: match (&one.entry.step, one.entry.kind) {
                    (Some(step), Kind::Step) => step.clone(),
                    (Some(step), kind) => format!("{} {step}", kind.name().replace('_', " ")),
                    (None, kind) => kind.name().replace('_', " "),
                },
                does: dossier
                    .step_of(one)
                    .map_or_else(String::new, |step| step.does.clone()),
                says,
                outcome: match one.outcome {
                    Outcome::Passed | Outcome::Recorded => String::new(),
                    Outcome::NotPassed => "not passed".into(),
                    Outcome::Refused => "REFUSED".into(),
                },
                own: one.slot == Some(module),
            }
        })
        .collect()
}
