//! Where a job stands: what passed, what is open next, what is shut and why.

use serde::Serialize;

use crate::battery::{Purpose, Soundness};
use crate::citation::Reason;
use crate::custody::{COSIGNED, Cosigned, Handover, RELEASED};
use crate::inspection::{self, LimitVerdict};
use crate::job::Job;
use crate::ledger::{Log, LogEntry};
use crate::procedure::{Branch, Outcome, Role, Standing, When};
use crate::units::Decimal;

/// A step that may be done next.
#[derive(Debug, Clone, Serialize)]
pub struct OpenStep {
    /// Id.
    pub step: String,
    /// The module, where it is one module's.
    pub module: Option<String>,
    /// What to do.
    pub does: String,
    /// Who may do it.
    pub who: String,
}

/// Where a job stands.
#[derive(Debug, Clone, Serialize)]
pub struct Status {
    /// Name of the job.
    pub job: String,
    /// Procedure.
    pub procedure: String,
    /// Entries so far.
    pub entries: usize,
    /// Steps that passed, of those that the plan keeps; a module's step counts once a module.
    pub passed: usize,
    /// Steps that the plan keeps, before the hand-over.
    pub steps: usize,
    /// The stop in force.
    pub stopped: Option<String>,
    /// Steps whose proof no longer holds, with why.
    pub stale: Vec<String>,
    /// Steps that were tried and did not pass, or were taken back, with why.
    pub not_passed: Vec<String>,
    /// Steps that may be done next.
    pub open: Vec<OpenStep>,
    /// The refusal that the job stands at.
    pub refused: Vec<Reason>,
    /// Each module: identity, soundness, where it is.
    pub modules: Vec<ModuleStatus>,
    /// Why papers are not issued yet; empty where the job is entitled to them.
    pub not_entitled_to_papers: Vec<Reason>,
    /// Answers that were "unknown", with the safe consequence.
    pub unknowns: Vec<String>,
    /// Hand-overs and what came back of them, as the ledger has them.
    pub hand_overs: Vec<String>,
}

/// Every hand-over and cosignature in a job's log, one line each.
#[must_use]
pub fn hand_overs(log: &Log) -> Vec<String> {
    let line = |entry: &LogEntry| match entry.kind.as_str() {
        RELEASED => {
            let one: Handover = serde_json::from_value(entry.body.clone()).ok()?;
            let packages: Vec<&str> = one.packages.iter().map(|p| p.id.as_str()).collect();
            Some(format!(
                "{}: {} from {} to {} for {}, {}",
                one.number,
                packages.join(", "),
                one.released_by,
                one.taken_by,
                one.to.name,
                one.at
            ))
        }
        COSIGNED => {
            let one: Cosigned = serde_json::from_value(entry.body.clone()).ok()?;
            Some(format!(
                "{}: cosigned by {}, {}",
                one.handover, one.by, one.at
            ))
        }
        _ => None,
    };
    log.entries().iter().filter_map(line).collect()
}

/// Where one module stands.
#[derive(Debug, Clone, Serialize)]
pub struct ModuleStatus {
    /// Name in the job.
    pub module: String,
    /// Serial or job serial.
    pub serial: String,
    /// Whether the serial was read.
    pub serial_proved: bool,
    /// Whether anybody has looked for its serial yet.
    pub looked_at: bool,
    /// As judged; absent where nobody has.
    pub soundness: Option<String>,
    /// Finding codes.
    pub findings: Vec<String>,
    /// State of charge: `33-41 %`, or `as full` where it is not known.
    pub state_of_charge: String,
    /// How that is known.
    pub state_of_charge_basis: String,
    /// What the route asks of it and whether that is proven: `30 %: not proven`.
    pub state_of_charge_limit: Option<String>,
    /// Why it is not proven and what to do; contradictions.
    pub state_of_charge_next: Vec<String>,
    /// Purpose reuse: each gate before an offer, with where it stands.
    pub reuse_gates: Vec<String>,
    /// `in place`, `lifted`, `packed in P1`, `left behind: ...`.
    pub stands: String,
}

/// Where `job` stands.
#[must_use]
pub fn status(job: &Job) -> Status {
    let frame = job.frame();
    let progress = job.progress();
    let mut status = Status {
        job: job.plan().job.clone(),
        procedure: frame.procedure.id.clone(),
        entries: job.taken().len(),
        passed: 0,
        steps: 0,
        stopped: progress.stop().map(|stop| stop.why.clone()),
        stale: Vec::new(),
        not_passed: Vec::new(),
        open: Vec::new(),
        refused: job
            .refusal()
            .map(|(_, taken)| taken.judgement.reasons.clone())
            .unwrap_or_default(),
        modules: (0..frame.modules.len())
            .map(|module| module_status(job, module))
            .collect(),
        not_entitled_to_papers: job.not_entitled_to_papers(),
        unknowns: progress.unknowns().to_vec(),
        hand_overs: Vec::new(),
    };
    let mut stale: Vec<(String, Vec<String>)> = Vec::new();
    for (place, step) in frame.procedure.steps.iter().enumerate() {
        for slot in frame.slots(step) {
            let name = frame.name_of_step(&step.id, slot);
            let kept = progress.is_called_for(frame, place)
                && step.branch == Branch::Main
                && progress.is_for(step, slot)
                // Until it is judged, a module is counted on the ordinary way.
                && !(step.when == When::Damaged
                    && slot.is_some_and(|module| progress.soundness(module).is_none()))
                && slot.is_none_or(|module| progress.left_behind(module).is_none());
            status.steps += usize::from(kept);
            match progress.standing(place, slot) {
                Standing::Passed(_) => status.passed += usize::from(kept),
                Standing::Stale { .. } if progress.locks_are_off(frame) => {
                    status.passed += usize::from(kept);
                }
                Standing::Stale { why, .. } => {
                    status.passed += usize::from(kept);
                    match stale.iter_mut().find(|(known, _)| known == why) {
                        Some((_, names)) => names.push(name),
                        None => stale.push((why.clone(), vec![name])),
                    }
                }
                Standing::Void { why, .. } => {
                    status.not_passed.push(format!("{name} taken back: {why}"))
                }
                Standing::NotPassed(number) => {
                    let why = job
                        .taken()
                        .get(number - 1)
                        .and_then(|taken| taken.judgement.reasons.first())
                        .map_or_else(String::new, ToString::to_string);
                    status
                        .not_passed
                        .push(format!("{name} did not pass: {why}"));
                }
                Standing::NotBegun => {}
            }
        }
    }
    status.stale = stale
        .into_iter()
        .map(|(why, names)| format!("{}: {why}", names.join(", ")))
        .collect();
    for (place, slot) in job.open_steps() {
        let Some(step) = frame.step_at(place) else {
            continue;
        };
        if step.branch == Branch::Custody && !status.not_entitled_to_papers.is_empty() {
            continue;
        }
        status.open.push(OpenStep {
            step: step.id.clone(),
            module: slot
                .and_then(|n| frame.modules.get(n))
                .map(|module| module.id.clone()),
            does: step.does.clone(),
            who: Role::any_of(&step.role),
        });
    }
    status
}

fn module_status(job: &Job, module: usize) -> ModuleStatus {
    let sheet = job.sheet(module);
    let stands = match (
        job.progress().left_behind(module),
        &sheet.package,
        sheet.removed,
    ) {
        (Some(why), _, _) => format!("left behind: {why}"),
        (None, Some(package), _) => format!("packed in {package}"),
        (None, None, true) => "lifted".into(),
        (None, None, false) => "in place".into(),
    };
    let charge = &sheet.state_of_charge;
    let mut next = Vec::new();
    if let Some((limit, verdict)) = charge.limit {
        next.push(format!(
            "{limit} % or less for the leg by air: {}",
            verdict.words()
        ));
    }
    next.extend(charge.reasons.iter().cloned());
    if let Some((limit, LimitVerdict::NotProven | LimitVerdict::Disproven)) = charge.limit {
        next.extend(discharge(job, module, limit, charge.high_percent));
    }
    ModuleStatus {
        state_of_charge: if charge.high_percent == Decimal::whole(100)
            && charge.low_percent == Decimal::whole(0)
        {
            "as full".into()
        } else {
            format!("{}-{} %", charge.low_percent, charge.high_percent)
        },
        state_of_charge_basis: charge.basis.clone(),
        state_of_charge_limit: charge
            .limit
            .map(|(limit, verdict)| format!("{limit} %: {}", verdict.words())),
        state_of_charge_next: next,
        reuse_gates: if job.plan().purpose == Purpose::Reuse {
            job.reuse_words(module)
        } else {
            Vec::new()
        },
        module: sheet.module,
        serial: sheet.serial,
        serial_proved: sheet.serial_proved,
        looked_at: job.progress().serial(module).is_some(),
        soundness: sheet.soundness.map(|soundness| soundness.word().to_owned()),
        findings: sheet.findings,
        stands,
    }
}

/// How it could be discharged: the sum to do first, or why not at all.
fn discharge(job: &Job, module: usize, limit: Decimal, high: Decimal) -> Vec<String> {
    let triage = inspection::triage(job.judged_soundness(module), &job.findings(module));
    if !triage.no_discharge.is_empty() {
        return triage
            .no_discharge
            .iter()
            .map(ToString::to_string)
            .collect();
    }
    if triage.soundness != Soundness::Sound {
        return vec![format!(
            "not to be discharged here: {}; a specialist decides",
            triage.soundness
        )];
    }
    let planned = job.frame().modules.get(module);
    let known = planned.and_then(|one| one.cells_in_series.zip(one.rated_capacity_ah));
    let Some((cells, capacity)) = known else {
        return vec![
            "a discharge cannot be reckoned: cells in series and rated capacity are not in the plan"
                .into(),
        ];
    };
    // Iron phosphate falls steeply only under about 20 %: half the limit proves it.
    let target = Decimal::from_thousandths(limit.thousandths().unwrap_or(0) / 2);
    let fifth = Decimal::from_thousandths(capacity.as_thousandths() / 5);
    let kind = serde_json::to_value(job.cell_kind()).unwrap_or_default();
    vec![format!(
        "before a discharge, its time and heat (12 mohm assumed, a fifth of the capacity an hour): \
         echo '{{\"chemistry\":{kind},\"cells\":{cells},\"capacity_ah\":{},\
         \"from_percent\":{high},\"to_percent\":{target},\"module_resistance_ohm\":0.012,\
         \"load\":{{\"kind\":\"current\",\"ampere\":{fifth}}}}}' | packdown calc discharge - \
         --format text; then rest it and read again",
        capacity.decimal()
    )]
}

impl Status {
    /// Whether the gate said no to the last entry.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        !self.refused.is_empty()
    }
}

/// The word for an outcome.
#[must_use]
pub const fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Passed => "passed",
        Outcome::NotPassed => "not passed",
        Outcome::Recorded => "recorded",
        Outcome::Refused => "REFUSED",
    }
}
