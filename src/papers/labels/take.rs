//! What each package must carry, from the decisions and the record.

use serde::Serialize;

use crate::citation::Reason;
use crate::ids::PackageCode;
use crate::job::{Contents, Job, Verdict};
use crate::papers::manifest_of::charge_range;
use crate::papers::names::package_code;
use crate::papers::plain_text;
use crate::papers::stamp::Stamp;
use crate::transport::{Answer, PackageAnswer, Regime, check_mark};
use crate::units::{Grams, MilliPercent};

/// A mark with the least height of its letters and where that is written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Words {
    pub(crate) text: String,
    /// In millimetres.
    pub(crate) height: i32,
    /// Empty where no height is set.
    pub(crate) clause: String,
}

/// Everything that is stuck on one package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PackageLabel {
    pub(crate) id: String,
    pub(crate) number: usize,
    pub(crate) count: usize,
    /// Whether label 9A is due.
    pub(crate) nine_a: bool,
    /// Labels with colours of their own.
    pub(crate) coloured: Vec<String>,
    pub(crate) marks: Vec<Words>,
    /// Whether orientation arrows were asked for.
    pub(crate) arrows: bool,
    pub(crate) from: (String, String),
    pub(crate) to: (String, String),
    pub(crate) emergency: Option<String>,
    pub(crate) net: String,
    pub(crate) gross: String,
    pub(crate) modules: usize,
    pub(crate) charge: String,
    pub(crate) seal: String,
    /// Its code, the same each time the job is played.
    pub(crate) code: PackageCode,
}

/// The labels of every package, or why there are none.
///
/// # Errors
/// A module that may not travel, or a package that is not accepted: then nothing is to be stuck on
/// that says it may.
pub(crate) fn package_labels(
    job: &Job,
    verdicts: &[Verdict],
    stamp: &Stamp,
) -> Result<Vec<PackageLabel>, Vec<Reason>> {
    let contents = job.contents();
    let lacks: Vec<Reason> = verdicts
        .iter()
        .filter(|one| {
            !matches!(one.decision.answer, Answer::Allowed | Answer::AllowedWith)
                || one.decision.package.answer != PackageAnswer::Accepted
        })
        .map(|one| {
            let decision = &one.decision;
            let reason = decision
                .reasons
                .first()
                .or(decision.package.reasons.first());
            let (serial, _) = job.identity(one.module);
            let mut reason = reason
                .cloned()
                .unwrap_or_else(|| Reason::new("decision", "not determined"));
            reason.what = format!("{serial}: {}", reason.what);
            reason
        })
        .collect();
    if !lacks.is_empty() {
        return Err(lacks);
    }
    if contents.is_empty() {
        return Err(vec![
            Reason::new("packages", "none").way_out("nothing is packed, so nothing is labelled"),
        ]);
    }
    let count = contents.len();
    Ok(contents
        .iter()
        .enumerate()
        .map(|(n, one)| label(job, verdicts, stamp, one, (n + 1, count)))
        .collect())
}

fn label(
    job: &Job,
    verdicts: &[Verdict],
    stamp: &Stamp,
    contents: &Contents,
    (number, count): (usize, usize),
) -> PackageLabel {
    let plan = job.plan();
    let mut marks: Vec<Words> = Vec::new();
    let mut nine_a = false;
    let mut coloured: Vec<String> = Vec::new();
    for verdict in verdicts
        .iter()
        .filter(|one| contents.modules.contains(&one.module))
    {
        let regime = plan.route.get(verdict.leg).map(|leg| leg.regime);
        for mark in &verdict.decision.marks {
            let height = i32::try_from(mark.min_height_mm).unwrap_or(0);
            let is_number = mark.text.starts_with("UN");
            let words = Words {
                text: plain_text(&mark.text),
                height,
                clause: clause(regime, is_number, height),
            };
            let is_same = |known: &&mut Words| known.text.eq_ignore_ascii_case(&words.text);
            match marks.iter_mut().find(is_same) {
                Some(known) if known.height < height => *known = words,
                Some(_) => {}
                None => marks.push(words),
            }
        }
        for label in &verdict.decision.labels {
            if label == "9A" {
                nine_a = true;
            } else if !coloured.iter().any(|known| known == label) {
                coloured.push(label.to_string());
            }
        }
    }
    let first = contents.modules.first().copied().unwrap_or_default();
    let regime = plan.route.first().map(|leg| leg.regime);
    let packaging = plan
        .route
        .first()
        .and_then(|leg| job.facts(first, leg).package)
        .and_then(|package| package.mark);
    if packaging.is_some_and(|mark| check_mark(&mark).salvage) {
        marks.push(Words {
            text: "SALVAGE".to_owned(),
            height: 12,
            clause: clause_of(regime, "5.2.1.3", "173.3(c)(3) (second-hand)"),
        });
    }
    if contents.marks.iter().any(|mark| mark == "OVERPACK") {
        marks.push(Words {
            text: "OVERPACK".to_owned(),
            height: 12,
            clause: clause_of(regime, "5.1.2.1", "173.25(a)(4)"),
        });
    }
    marks.sort_by_key(|mark| !mark.text.starts_with("UN"));
    let net = contents
        .modules
        .iter()
        .map(|module| job.net_mass(*module))
        .try_fold(Grams::default(), |sum, mass| sum.plus(mass?));
    PackageLabel {
        id: plain_text(&contents.package),
        number,
        count,
        nine_a,
        coloured,
        marks,
        arrows: plan.orientation_arrows,
        from: (
            plain_text(&plan.consignor.name),
            plain_text(&plan.consignor.address),
        ),
        to: (
            plain_text(&plan.consignee.name),
            plain_text(&plan.consignee.address),
        ),
        emergency: plan
            .consignor
            .emergency_telephone
            .as_deref()
            .map(plain_text),
        net: stamp.mass_or_not(net),
        gross: stamp.mass_or_not(contents.gross_mass_kg),
        modules: contents.modules.len(),
        charge: charge(job, contents, stamp),
        seal: contents
            .seal
            .as_deref()
            .map_or_else(|| stamp.words.not_sealed.to_owned(), plain_text),
        code: package_code(job, &contents.package),
    }
}

/// Lowest to highest over the modules; one that is not known counts as full.
fn charge(job: &Job, contents: &Contents, stamp: &Stamp) -> String {
    let ranges: Vec<_> = contents
        .modules
        .iter()
        .map(|module| charge_range(job.state_of_charge(*module)))
        .collect();
    let known = ranges.iter().flatten();
    let low: Option<MilliPercent> = known.clone().map(|range| range.low_percent).min();
    let high: Option<MilliPercent> = known.map(|range| range.high_percent).max();
    match (low, high) {
        (Some(low), Some(high)) if ranges.iter().all(Option::is_some) => {
            let w = stamp.words;
            let range = w.range(&low.decimal(), &high.decimal());
            format!("{range} % {}", w.of_present_capacity)
        }
        _ => stamp.words.taken_as_full.to_owned(),
    }
}

/// Where the height of a mark's letters is written.
fn clause(regime: Option<Regime>, is_number: bool, height: i32) -> String {
    if height == 0 {
        return String::new();
    }
    if is_number {
        clause_of(regime, "5.2.1.1", "172.301(a)(1)")
    } else {
        clause_of(regime, "3.3.1", "173.185(f)(4)")
    }
}

fn clause_of(regime: Option<Regime>, un: &str, us: &str) -> String {
    match regime {
        Some(Regime::Cfr49) => format!("49 CFR, {us}"),
        Some(Regime::Rid) => format!("RID 2025, {un}"),
        Some(Regime::Imdg) => format!("IMDG 42-24, {un} (from memory, unverified)"),
        Some(Regime::Air) => {
            "ICAO Technical Instructions, 5;2 (from memory, unverified)".to_owned()
        }
        Some(Regime::Adr) | None => format!("ADR 2025, {un}"),
    }
}
