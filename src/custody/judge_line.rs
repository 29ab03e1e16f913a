//! One fact of a line at a time: seal, mass, heat, damage, and what they make of a module.

use super::found::Found;
use super::handover::HandedPackage;
use super::receipt::{Answer, Line, SealState, Subject};
use super::same_form;
use super::tolerance::Tolerances;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::inspection::soundness_of;
use crate::units::Decimal;

/// A surface as hot as this is likely to react (T3 of the trend rules, chosen here).
const REACTS_AT_C: i32 = 60;

impl Line {
    pub(super) const fn new(subject: Subject, package: Option<String>) -> Self {
        Self {
            subject,
            package,
            answers: Vec::new(),
            how: None,
            sent: std::collections::BTreeMap::new(),
            found: std::collections::BTreeMap::new(),
            reasons: Vec::new(),
            soundness: None,
            hold: None,
        }
    }

    /// Adds an answer with its reason. Answers and reasons stay in pairs: a second reason for
    /// the same answer is told with the first.
    pub(super) fn put(&mut self, answer: Option<Answer>, reason: Reason) {
        let Some(answer) = answer else { return };
        match self.answers.iter().position(|one| *one == answer) {
            None => {
                self.answers.push(answer);
                self.reasons.push(reason);
            }
            Some(at) => {
                if let Some(first) = self.reasons.get_mut(at) {
                    first.value = format!("{}; {}: {}", first.value, reason.what, reason.value);
                }
            }
        }
    }
}

/// Whether the package stands under the stated seal, unbroken and read.
pub(super) fn seal(package: &HandedPackage, found: &Found, line: &mut Line) -> bool {
    let (Some(stated), Some(seen)) = (&package.seal, &found.seal) else {
        return false;
    };
    let limit = format!("{stated}, unbroken");
    let way_out = "open it with two people present, photograph it, read every module in it";
    match seen.state {
        SealState::Missing => {
            line.put(
                Some(Answer::SealMissing),
                Reason::new("seal", "none").limit(limit).way_out(way_out),
            );
            false
        }
        SealState::Broken => {
            line.put(
                Some(Answer::SealBroken),
                Reason::new("seal", "broken").limit(limit).way_out(way_out),
            );
            false
        }
        SealState::Intact => match &seen.number {
            None => false,
            Some(number) if same_form(number) == same_form(stated) => true,
            Some(number) => {
                line.put(
                    Some(Answer::SealBroken),
                    Reason::new("number of the seal", format!("{number}, stated {stated}"))
                        .limit(limit)
                        .way_out(way_out),
                );
                false
            }
        },
    }
}

/// Compares a mass with the stated one. The larger of the two tolerances counts.
pub(super) fn mass(
    what: &str,
    stated: Option<Decimal>,
    scale: Option<Decimal>,
    tolerances: &Tolerances,
    line: &mut Line,
) {
    let (Some(stated), Some(scale)) = (stated, scale) else {
        return;
    };
    let (Some(sent), Some(found)) = (stated.thousandths(), scale.thousandths()) else {
        return;
    };
    let share = i128::from(sent) * i128::from(tolerances.mass_off_percent.thousandths()) / 100_000;
    let free = share.max(i128::from(tolerances.mass_off_kg.thousandths()));
    if i128::from(found.abs_diff(sent)) > free {
        let by = Decimal::from_thousandths(found.saturating_sub(sent));
        let most = Decimal::from_thousandths(i64::try_from(free).unwrap_or(i64::MAX));
        line.put(
            Some(Answer::MassOff),
            Reason::new(
                what,
                format!("{scale} kg, {by} kg from the stated {stated} kg"),
            )
            .limit(format!(
                "{most} kg: {} % or {} kg, whichever is more",
                tolerances.mass_off_percent.value, tolerances.mass_off_kg.value
            ))
            .clause(&tolerances.mass_off_percent.basis)
            .way_out("weigh again on a checked scale, look what is in it, ring the sender"),
        );
    }
}

/// The temperatures that are compared.
pub(super) struct Temperatures {
    pub(super) sent: Option<Decimal>,
    pub(super) found: Option<Decimal>,
    pub(super) air: Option<Decimal>,
}

/// Adds `hotter` where it is; whether there was enough to compare.
pub(super) fn heat(temperatures: &Temperatures, tolerances: &Tolerances, line: &mut Line) -> bool {
    let Some(found) = temperatures.found else {
        return false;
    };
    let hot = |against: &str, value: Decimal, line: &mut Line| {
        let (Some(now), Some(then)) = (found.thousandths(), value.thousandths()) else {
            return;
        };
        if now.saturating_sub(then) > tolerances.hotter_k.thousandths() {
            line.put(
                Some(Answer::Hotter),
                Reason::new("warmest spot", format!("{found} °C, {value} °C {against}"))
                    .limit(format!("a rise of {} K", tolerances.hotter_k.value))
                    .clause(&tolerances.hotter_k.basis)
                    .way_out(
                        "leave it outdoors, away from buildings, people and other goods; read \
                         it again in 15 min; rising, smoke, hiss or smell: get away, call the \
                         fire service",
                    ),
            );
        }
    };
    if let Some(sent) = temperatures.sent {
        hot("at the release", sent, line);
    }
    if let Some(air) = temperatures.air {
        hot("the air", air, line);
    }
    if found >= Decimal::whole(REACTS_AT_C) {
        line.put(
            Some(Answer::Hotter),
            Reason::new("warmest spot", format!("{found} °C"))
                .limit(format!("{REACTS_AT_C} °C"))
                .clause("trend rule T3, project default, not law")
                .way_out("get away, keep everybody away, call the fire service"),
        );
    }
    temperatures.sent.is_some()
        || temperatures.air.is_some()
        || found >= Decimal::whole(REACTS_AT_C)
}

/// Adds `damaged` where damage or a finding was seen.
pub(super) fn damage(found: &Found, line: &mut Line) {
    let words = found.damage.clone().unwrap_or_default();
    if words.is_empty() && found.findings.is_empty() {
        return;
    }
    let seen: Vec<String> = words.into_iter().chain(found.findings.clone()).collect();
    line.put(
        Some(Answer::Damaged),
        Reason::new("visible damage", seen.join("; "))
            .limit("none, looked at before the load is moved")
            .clause(
                "49 CFR 173.185(f); ADR 2025, SP 376: what cannot be diagnosed counts as damaged",
            )
            .way_out(
                "photograph it with its serial, write it on the carrier's copy before signing, \
                 set it apart",
            ),
    );
}

/// A module's condition on arrival: the worst of what was stated and what was seen on it and on
/// its package. Damage that nobody has put a code to goes up, never down.
pub(super) fn module_soundness(
    stated: Soundness,
    found: Option<&Found>,
    package: Option<&Line>,
    line: &Line,
) -> Soundness {
    let mut worst = stated;
    let mut at_least = |soundness: Soundness| worst = worst.max(soundness);
    if let Some(found) = found {
        if found.damage.as_ref().is_some_and(|words| !words.is_empty()) {
            at_least(Soundness::Undiagnosed);
        }
        at_least(judged(&found.findings));
        if found
            .temperature_c
            .is_some_and(|t| t >= Decimal::whole(REACTS_AT_C))
        {
            at_least(Soundness::Critical);
        }
    }
    if line.answers.contains(&Answer::Hotter) {
        at_least(Soundness::Suspect);
    }
    if let Some(package) = package {
        if package
            .answers
            .iter()
            .any(|answer| matches!(answer, Answer::Damaged | Answer::Hotter))
        {
            at_least(Soundness::Suspect);
        }
        let hot = package
            .found
            .get("temperature_c")
            .and_then(|text| text.parse::<Decimal>().ok());
        if hot.is_some_and(|t| t >= Decimal::whole(REACTS_AT_C)) {
            at_least(Soundness::Critical);
        }
        let codes: Vec<String> = package
            .found
            .get("findings")
            .map(|codes| codes.split(' ').map(str::to_owned).collect())
            .unwrap_or_default();
        at_least(judged(&codes));
    }
    worst
}

/// What finding codes make of a module; a code that nobody knows counts as damaged.
fn judged(codes: &[String]) -> Soundness {
    if codes.is_empty() {
        return Soundness::Sound;
    }
    let codes: Vec<&str> = codes.iter().map(String::as_str).collect();
    soundness_of(&codes)
}
