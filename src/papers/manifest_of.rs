//! Content of the packing manifest, taken from a job's entries and the decisions on them.

use std::collections::BTreeSet;

use super::ChargeRange;
use super::manifest::{
    Count, LedgerMark, LeftBehind, Manifest, ModuleLine, PackageLine, Party, TravelAnswer,
    TravelState,
};
use super::names::package_code;
use super::stamp::{is_american, words};
use super::words::{Language, StateWords, Words, fill};
use crate::battery::Soundness;
use crate::inspection::StateOfCharge;
use crate::job::{Contents, Job, Verdict};
use crate::procedure::Act;
use crate::transport::{self, Answer, Decision, PackageAnswer, RequirementDue};
use crate::units::{Decimal, MilliPercent};

/// Content of the packing manifest in the words of a language.
pub(super) fn manifest_in(
    job: &Job,
    verdicts: &[Verdict],
    ledger: LedgerMark,
    issue: u32,
    across: Option<&str>,
    language: Language,
) -> Manifest {
    let w = language.words();
    let plan = job.plan();
    let frame = job.frame();
    let party = |party: &crate::job::Party| Party {
        name: party.name.clone(),
        address: party.address.clone(),
    };
    let name_doing = |act: Act| {
        job.progress()
            .passed_doing(frame, act, None)
            .last()
            .map_or_else(
                || w.states.not_entered.to_owned(),
                |entry| frame.name_of(&entry.by).to_owned(),
            )
    };
    let planned = frame.modules.len();
    let left: Vec<usize> = (0..planned)
        .filter(|n| job.progress().left_behind(*n).is_some())
        .collect();
    let lifted = (0..planned)
        .filter(|n| job.progress().is_lifted(frame, *n))
        .count();
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Manifest {
        language,
        job: plan.job.clone(),
        issue: Some(issue),
        title: Some(plan.installation.name.clone()),
        draft: across.map(str::to_owned),
        site: format!(
            "{}, {}, {}",
            plan.site.name, plan.site.address, plan.site.country
        ),
        consignor: party(&plan.consignor),
        consignee: party(&plan.consignee),
        carrier: plan.carrier.as_ref().map(party),
        pounds: is_american(job),
        planned_on: Some(plan.planned_on),
        issued_at: job.progress().last_at(),
        purpose: w.states.purpose(plan.purpose).to_owned(),
        regimes: regimes(job, verdicts, w),
        rule_set: transport::rule_set().name().to_owned(),
        ledger: Some(LedgerMark {
            origin: ledger.origin.replace(words().demo, w.demo),
            ..ledger
        }),
        technician: name_doing(Act::TestDead),
        person_in_charge: name_doing(Act::ReleaseWork),
        packages: job
            .contents()
            .iter()
            .map(|one| package_line(job, one, verdicts, w))
            .collect(),
        left_behind: left
            .iter()
            .map(|n| LeftBehind {
                serial: job.identity(*n).0,
                reason: job.progress().left_behind(*n).unwrap_or("").to_owned(),
            })
            .collect(),
        count: Count {
            planned: count(planned),
            removed: count(lifted),
            left_behind: count(left.len()),
        },
        cautions: owned(w.cautions.manifest),
        open_points: open_points(job, verdicts, w),
        unverified: unverified(verdicts),
    }
}

fn owned(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

pub(super) fn regimes(job: &Job, verdicts: &[Verdict], w: &Words) -> Vec<String> {
    let mut regimes = Vec::new();
    for (n, leg) in job.plan().route.iter().enumerate() {
        let edition = verdicts
            .iter()
            .find(|verdict| verdict.leg == n)
            .map_or(leg.regime.name(), |verdict| &*verdict.decision.edition);
        let mode = leg.mode.map_or("", |mode| w.states.mode(mode));
        let on = leg.on.unwrap_or(job.plan().planned_on);
        let line = format!("{edition} {mode}, {on}")
            .replace("  ", " ")
            .replace(" ,", ",");
        if !regimes.contains(&line) {
            regimes.push(line);
        }
    }
    regimes
}

fn package_line(job: &Job, contents: &Contents, verdicts: &[Verdict], w: &Words) -> PackageLine {
    let of_package = || {
        verdicts
            .iter()
            .filter(|verdict| contents.modules.contains(&verdict.module))
    };
    let mut marks = contents.marks.clone();
    let mut labels = contents.labels.clone();
    let mut document_lines: Vec<String> = Vec::new();
    let push = |list: &mut Vec<String>, text: &str| {
        if !text.is_empty() && !list.iter().any(|one| one == text) {
            list.push(text.to_owned());
        }
    };
    // One mark for all legs, with the highest letters that any asks for.
    let mut due: Vec<(String, u32)> = Vec::new();
    for mark in of_package().flat_map(|verdict| &verdict.decision.marks) {
        let same = |(text, _): &&mut (String, u32)| text.eq_ignore_ascii_case(&mark.text);
        match due.iter_mut().find(same) {
            Some((_, height)) => *height = mark.min_height_mm.max(*height),
            None => due.push((mark.text.to_string(), mark.min_height_mm)),
        }
    }
    for (text, height) in due {
        marks.retain(|on_it| !on_it.eq_ignore_ascii_case(&text));
        match height {
            0 => push(&mut marks, &text),
            height => {
                let places: [(&str, &dyn std::fmt::Display); 2] =
                    [("text", &text), ("height", &height)];
                push(&mut marks, &fill(w.states.letters_at_least, &places));
            }
        }
    }
    for verdict in of_package() {
        for label in &verdict.decision.labels {
            push(&mut labels, label);
        }
        push(&mut document_lines, &verdict.decision.document.line);
        for statement in &verdict.decision.document.statements {
            push(&mut document_lines, statement);
        }
    }
    PackageLine {
        package_id: contents.package.clone(),
        code: package_code(job, &contents.package),
        packaging: contents
            .modules
            .first()
            .and_then(|module| job.packaging_words(*module))
            .map_or_else(|| w.not_known.into(), |packaging| w.term(&packaging)),
        modules: contents
            .modules
            .iter()
            .map(|n| module_line(job, *n, verdicts, &w.states))
            .collect(),
        gross_mass_kg: contents.gross_mass_kg,
        marks,
        labels,
        document_lines,
        seal: contents.seal.clone(),
    }
}

fn module_line(job: &Job, module: usize, verdicts: &[Verdict], says: &StateWords) -> ModuleLine {
    let (serial, serial_proved) = job.identity(module);
    let planned = job.frame().modules.get(module);
    let charge = job.state_of_charge(module);
    ModuleLine {
        serial,
        serial_proved,
        model: job.model_of(module),
        energy_wh: planned.and_then(|module| module.rated_energy_wh),
        net_mass_kg: job.net_mass(module),
        soundness: job.soundness_by(module, &charge),
        state_of_charge: charge_range(charge),
        layer: job.layer_of(module),
        answers: verdicts
            .iter()
            .filter(|verdict| verdict.module == module)
            .map(|verdict| travel_answer(&verdict.decision, says))
            .collect(),
    }
}

pub(super) fn charge_range(charge: StateOfCharge) -> Option<ChargeRange> {
    let unknown =
        charge.high_percent == Decimal::whole(100) && charge.low_percent == Decimal::whole(0);
    let percent = |value: Decimal| MilliPercent::try_from(value).ok();
    if unknown {
        return None;
    }
    Some(ChargeRange {
        low_percent: percent(charge.low_percent)?,
        high_percent: percent(charge.high_percent)?,
        basis: charge.basis,
    })
}

fn travel_answer(decision: &Decision, says: &StateWords) -> TravelAnswer {
    let state = match decision.answer {
        Answer::Allowed => TravelState::Allowed,
        Answer::AllowedWith => TravelState::AllowedWith,
        Answer::Forbidden => TravelState::Forbidden,
        Answer::NotDetermined => TravelState::NotDetermined,
    };
    let text = match state {
        TravelState::Allowed | TravelState::AllowedWith => {
            let mut parts: Vec<String> = Vec::new();
            parts.extend(decision.entry.as_ref().map(|entry| entry.un.to_string()));
            parts.extend(decision.provisions.iter().map(ToString::to_string));
            if !decision.packing_instructions.is_empty() {
                parts.push(
                    decision
                        .packing_instructions
                        .join(&format!(" {} ", says.or)),
                );
            }
            match decision.package.answer {
                PackageAnswer::Accepted => parts.push(says.package_accepted.into()),
                PackageAnswer::Refused => parts.push(says.package_refused.into()),
                PackageAnswer::NotDetermined => parts.push(says.package_open.into()),
            }
            parts.join(", ")
        }
        TravelState::Forbidden => decision
            .reasons
            .first()
            .map_or_else(|| says.forbidden.to_owned(), |reason| reason.what.clone()),
        TravelState::NotDetermined => {
            if decision.missing.is_empty() {
                decision
                    .reasons
                    .first()
                    .map_or_else(String::new, |reason| reason.what.clone())
            } else {
                fill(says.missing, &[("facts", &decision.missing.join(", "))])
            }
        }
    };
    TravelAnswer {
        regime: decision.edition.to_string(),
        state,
        text,
    }
}

/// What is still open, once each: missing facts, refused packages, answers that were unknown.
/// What is said of several modules alike names them together.
fn open_points(job: &Job, verdicts: &[Verdict], w: &Words) -> Vec<String> {
    let mut points: Vec<(String, Vec<String>)> = Vec::new();
    let mut push = |module: &str, text: String| match points.iter_mut().find(|(t, _)| *t == text) {
        Some((_, modules)) if modules.iter().any(|known| known == module) => {}
        Some((_, modules)) => modules.push(module.to_owned()),
        None => points.push((text, vec![module.to_owned()])),
    };
    for verdict in verdicts {
        let module = job.identity(verdict.module).0;
        let decision = &verdict.decision;
        for requirement in beyond_sound(job, verdict) {
            push(&module, w.refusal(&requirement.says));
        }
        let plain_yes = matches!(decision.answer, Answer::Allowed | Answer::AllowedWith);
        if !plain_yes {
            for reason in &decision.reasons {
                push(&module, w.reason(reason));
            }
        }
        if decision.package.answer != PackageAnswer::Accepted && plain_yes {
            for reason in &decision.package.reasons {
                // Most of these name the package themselves.
                let said = w.reason(reason);
                let names_it = reason.what.starts_with("package");
                push(
                    &module,
                    if names_it {
                        said
                    } else {
                        format!("{}: {said}", w.package)
                    },
                );
            }
        }
    }
    for module in 0..job.frame().modules.len() {
        let (serial, proved) = job.identity(module);
        if !proved && job.progress().left_behind(module).is_none() {
            push(&serial, w.states.no_serial.to_owned());
        }
    }
    points
        .into_iter()
        .map(|(text, modules)| format!("{}: {text}", modules.join(", ")))
        .collect()
}

/// What is required of a module only because it is not sound: beyond what the same module would
/// need if it were.
fn beyond_sound<'a>(job: &Job, verdict: &'a Verdict) -> Vec<&'a RequirementDue> {
    if job.soundness(verdict.module) == Soundness::Sound {
        return Vec::new();
    }
    let Some(leg) = job.plan().route.get(verdict.leg) else {
        return Vec::new();
    };
    let mut facts = job.facts(verdict.module, leg);
    facts.item.soundness = Some(Soundness::Sound);
    // Each of these makes it damaged in law by itself, whatever it was judged.
    facts.item.leaking = Some(false);
    facts.item.recalled_for_safety = Some(false);
    let sound = transport::decide(&facts);
    let is_new = |one: &&RequirementDue| {
        !sound
            .requirements
            .iter()
            .any(|other| other.rule == one.rule)
    };
    verdict
        .decision
        .requirements
        .iter()
        .filter(is_new)
        .collect()
}

/// Rules that nobody has checked against the text, with their sentence.
fn unverified(verdicts: &[Verdict]) -> Vec<String> {
    let ids: BTreeSet<&str> = verdicts
        .iter()
        .flat_map(|v| &v.decision.unverified)
        .map(AsRef::as_ref)
        .collect();
    ids.into_iter()
        .map(|id| match transport::rule_set().find(id) {
            Some(rule) => format!("{} ({id})", rule.says),
            None => id.to_owned(),
        })
        .collect()
}
