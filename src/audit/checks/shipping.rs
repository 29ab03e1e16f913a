//! Papers and packages against a fresh decision under the edition in force on the day of carriage.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::audit::{Dossier, Found, Recorded};
use crate::procedure::Act;
use crate::transport::{Answer, Decision, PackageAnswer};
use crate::units::{Decimal, Grams};

/// `papers.issued`
pub(in crate::audit) fn issued(dossier: &Dossier) -> Vec<Found> {
    let Some(released) = dossier.released() else {
        return Vec::new();
    };
    let found = match dossier.issues.last() {
        None => "none issued",
        Some(issue) if issue.body.draft => "only drafts",
        Some(_) => return Vec::new(),
    };
    vec![
        Found::new("papers of the consignment", found)
            .on(released)
            .limit("manifest, custody table and decisions issued for what was handed over")
            .way_out("issue them now, and find out what the driver had in hand"),
    ]
}

/// `papers.unchanged`
pub(in crate::audit) fn unchanged(dossier: &Dossier) -> Vec<Found> {
    dossier
        .papers
        .iter()
        .filter(|paper| !paper.as_issued)
        .map(|paper| {
            let found = if paper.there {
                "not the text that was issued"
            } else {
                "missing"
            };
            let issue = dossier
                .issues
                .iter()
                .find(|issue| issue.body.issue == paper.issue);
            Found::new(
                format!("paper {} of issue {}", paper.name, paper.issue),
                found,
            )
            .at_seq(issue.map_or(0, |issue| issue.seq))
            .limit("the text whose hash stands in the log")
            .way_out("issue it again; keep the changed one beside, with who changed it")
        })
        .collect()
}

/// A module's fresh decision beside the one that was issued.
struct Pair<'a> {
    fresh: &'a Decision,
    issued: &'a Value,
}

fn pairs(dossier: &Dossier, look: impl Fn(&Pair<'_>) -> Option<Found>) -> Vec<Found> {
    let (Some(decided), Some(issue)) = (dossier.decided(), dossier.issues.last()) else {
        return Vec::new();
    };
    let modules = decided.get("modules").and_then(Value::as_array);
    let mut found = Vec::new();
    for verdict in dossier.decisions() {
        let id = dossier.module_id(verdict.module);
        let issued = modules
            .into_iter()
            .flatten()
            .find(|one| one.get("module").and_then(Value::as_str) == Some(id))
            .and_then(|one| one.get("decisions")?.get(verdict.leg));
        let Some(issued) = issued else { continue };
        let pair = Pair {
            fresh: &verdict.decision,
            issued,
        };
        if let Some(one) = look(&pair) {
            found.push(
                one.at_seq(issue.seq)
                    .module(id)
                    .way_out("issue the papers again, and tell those who carried by the old ones"),
            );
        }
    }
    found
}

impl Pair<'_> {
    /// Compares one member of the decision.
    fn differs(&self, what: &str, pointer: &str) -> Option<Found> {
        let fresh = serde_json::to_value(self.fresh).ok()?;
        let (fresh, issued) = (fresh.pointer(pointer)?, self.issued.pointer(pointer)?);
        (fresh != issued).then(|| {
            Found::new(format!("{what} of the papers"), shown(issued)).limit(format!(
                "{} ({} on that day)",
                shown(fresh),
                if self.fresh.edition.is_empty() {
                    "no edition"
                } else {
                    &self.fresh.edition
                }
            ))
        })
    }
}

fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(items) if items.is_empty() => "none".into(),
        Value::Array(items) => items.iter().map(shown).collect::<Vec<_>>().join(", "),
        Value::Object(members) => members
            .get("text")
            .or_else(|| members.get("un"))
            .map_or_else(|| value.to_string(), shown),
        Value::Null => "none".into(),
        other => other.to_string(),
    }
}

/// `papers.answer`
pub(in crate::audit) fn answer(dossier: &Dossier) -> Vec<Found> {
    pairs(dossier, |pair| pair.differs("answer", "/answer"))
}

/// `papers.entry`
pub(in crate::audit) fn entry(dossier: &Dossier) -> Vec<Found> {
    pairs(dossier, |pair| pair.differs("entry", "/entry"))
}

/// `papers.instructions`
pub(in crate::audit) fn instructions(dossier: &Dossier) -> Vec<Found> {
    pairs(dossier, |pair| {
        pair.differs("packing instruction", "/packing_instructions")
    })
}

/// `papers.marks`
pub(in crate::audit) fn paper_marks(dossier: &Dossier) -> Vec<Found> {
    pairs(dossier, |pair| {
        pair.differs("marks", "/marks")
            .or_else(|| pair.differs("labels", "/labels"))
    })
}

/// `papers.statements`
pub(in crate::audit) fn statements(dossier: &Dossier) -> Vec<Found> {
    pairs(dossier, |pair| {
        pair.differs("line", "/document/line")
            .or_else(|| pair.differs("statements", "/document/statements"))
    })
}

/// `papers.identity`
pub(in crate::audit) fn identity(dossier: &Dossier) -> Vec<Found> {
    let (Some(decided), Some(issue)) = (dossier.decided(), dossier.issues.last()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for one in decided
        .get("modules")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        let text = |name: &str| one.get(name).and_then(Value::as_str).unwrap_or_default();
        let Some(module) = dossier.frame().module_number(text("module")) else {
            continue;
        };
        let (identity, _) = dossier.job.identity(module);
        if identity != text("serial") {
            found.push(
                Found::new("serial on the papers", text("serial"))
                    .at_seq(issue.seq)
                    .module(text("module"))
                    .limit(format!("{identity}, as read on the module"))
                    .way_out("issue the papers again; the goods travel under another serial"),
            );
        }
    }
    found
}

/// `transport.allowed`
pub(in crate::audit) fn allowed(dossier: &Dossier) -> Vec<Found> {
    let Some(released) = dossier.released() else {
        return Vec::new();
    };
    dossier
        .decisions()
        .iter()
        .filter(|verdict| verdict.decision.answer >= Answer::NotDetermined)
        .map(|verdict| {
            let reason = verdict.decision.reasons.first();
            let why =
                reason.map_or_else(|| verdict.decision.missing.join(", "), ToString::to_string);
            let word = if verdict.decision.answer == Answer::Forbidden {
                "forbidden"
            } else {
                "not determined"
            };
            Found::new(
                "carriage of the module",
                format!("{word}, yet handed over: {why}"),
            )
            .on(released)
            .module(dossier.module_id(verdict.module))
            .limit("handed over only where the decision allows it")
            .way_out("find the goods; tell carrier and receiver today")
        })
        .collect()
}

/// The entries that marked a module's package.
fn marking(dossier: &Dossier, module: usize) -> Option<&Recorded> {
    dossier
        .doing(Act::MarkPackage)
        .rfind(|one| one.slot == Some(module))
}

fn same(text: &str) -> String {
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_uppercase()
}

/// `transport.un`
pub(in crate::audit) fn un_number(dossier: &Dossier) -> Vec<Found> {
    let digits = |text: &str| {
        text.chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
    };
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for verdict in dossier.decisions() {
        let Some(one) = marking(dossier, verdict.module) else {
            continue;
        };
        let (Some(entry), Some(said)) = (
            &verdict.decision.entry,
            one.entry.evidence.text("un_number"),
        ) else {
            continue;
        };
        if digits(said) != digits(&entry.un) && seen.insert(verdict.module) {
            found.push(
                Found::new("UN number on the package", said)
                    .on(one)
                    .limit(format!("{} ({})", entry.un, verdict.decision.edition))
                    .way_out("have the package marked again before it goes on"),
            );
        }
    }
    found
}

/// `transport.marks`
pub(in crate::audit) fn marks(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    let contents = dossier.job.contents();
    for verdict in dossier.decisions() {
        let Some(one) = marking(dossier, verdict.module) else {
            continue;
        };
        let Some(package) = contents
            .iter()
            .find(|package| package.modules.contains(&verdict.module))
        else {
            continue;
        };
        let has = |list: &[String], text: &str| list.iter().any(|one| same(one) == same(text));
        let mut missing: Vec<String> = verdict
            .decision
            .marks
            .iter()
            .filter(|mark| !has(&package.marks, &mark.text))
            .map(|mark| mark.text.to_string())
            .collect();
        missing.extend(
            verdict
                .decision
                .labels
                .iter()
                .filter(|label| !has(&package.labels, label))
                .map(|label| format!("label {label}")),
        );
        if !missing.is_empty() {
            found.push(
                Found::new(
                    format!("marks and labels on {}", package.package),
                    format!("missing: {}", missing.join(", ")),
                )
                .on(one)
                .limit(format!("as decided by {}", verdict.decision.edition))
                .way_out("mark and label it before it goes on"),
            );
        }
    }
    found
}

/// `transport.packaging`
pub(in crate::audit) fn packaging(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    for verdict in dossier.decisions() {
        let packed = dossier
            .doing(Act::Pack)
            .rfind(|one| one.slot == Some(verdict.module));
        let (Some(packed), PackageAnswer::Refused) = (packed, verdict.decision.package.answer)
        else {
            continue;
        };
        let reason = verdict.decision.package.reasons.first();
        found.push(
            Found::new(
                reason.map_or("packaging".to_owned(), |reason| reason.what.clone()),
                reason.map_or("refused".to_owned(), |reason| reason.value.clone()),
            )
            .on(packed)
            .limit(reason.map_or_else(String::new, |reason| reason.limit.clone()))
            .clause(reason.map_or_else(String::new, |reason| reason.clause.clone()))
            .way_out("repack it before it goes on"),
        );
    }
    found
}

/// `transport.masses`
pub(in crate::audit) fn masses(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    for package in dossier.job.contents() {
        let net = package
            .modules
            .iter()
            .map(|module| dossier.job.net_mass(*module))
            .try_fold(Grams::default(), |sum, mass| sum.plus(mass?));
        let sealed = package
            .modules
            .iter()
            .filter_map(|module| {
                dossier
                    .doing(Act::EnterOnManifest)
                    .rfind(|one| one.slot == Some(*module))
            })
            .max_by_key(|one| one.seq);
        if let (Some(net), Some(gross), Some(sealed)) = (net, package.gross_mass_kg, sealed)
            && gross <= net
        {
            found.push(
                Found::new(
                    format!("mass of {}", package.package),
                    format!(
                        "{} kg gross, {} kg of modules in it",
                        gross.decimal(),
                        net.decimal()
                    ),
                )
                .on(sealed)
                .limit("gross above net")
                .way_out("weigh the package again"),
            );
        }
    }
    found
}

/// `mass.as_planned`
pub(in crate::audit) fn mass_as_planned(dossier: &Dossier) -> Vec<Found> {
    dossier
        .doing(Act::LiftModule)
        .filter_map(|one| {
            let planned = dossier.frame().modules.get(one.slot?)?.net_mass_kg?;
            let weighed = Grams::try_from(one.entry.evidence.number("net_mass_kg")?).ok()?;
            let off = (weighed.as_thousandths() - planned.as_thousandths()).abs();
            (off * 10 > planned.as_thousandths()).then(|| {
                Found::new("mass of the module", format!("{} kg", weighed.decimal()))
                    .on(one)
                    .limit(format!(
                        "within a tenth of {} kg, as planned",
                        planned.decimal()
                    ))
                    .way_out("another type, a slip of the pen, or a part left behind: look again")
            })
        })
        .collect()
}

/// Points of a small load under ADR 1.1.3.6, where every module has mass and category.
#[must_use]
pub(in crate::audit) fn adr_points(dossier: &Dossier) -> Option<Decimal> {
    let mut thousandths = 0_i64;
    let mut any = false;
    for verdict in dossier.decisions() {
        let category = match verdict.decision.transport_category.as_deref() {
            Some(category) => category,
            None => continue,
        };
        let factor = match category {
            "1" => 50,
            "2" => 3,
            "3" => 1,
            "4" => 0,
            _ => return None,
        };
        let net = dossier.job.net_mass(verdict.module)?;
        thousandths = thousandths.checked_add(net.as_thousandths().checked_mul(factor)?)?;
        any = true;
    }
    any.then(|| Decimal::from_thousandths(thousandths))
}
