//! Flaws of a procedure other than a way round the chain: steps that can never open, a tester's set
//! with something between, bonding that does not ask for a battery.

use crate::procedure::proof::Prover;
use crate::procedure::{Act, Branch, Escape, EvidenceKind, Need, Per, Step, When};

/// What a step that does an act must ask for, and may not take "unknown" for: a tick is no evidence.
const ASKED: [(Act, &[&str]); 15] = [
    (Act::FindSources, &["sources", "unexplained_conductor"]),
    (Act::StopCurrent, &["instrument", "current_a"]),
    (Act::BlockRestart, &["restart_blocked_by"]),
    (Act::Isolate, &["devices"]),
    (Act::SeeBreak, &["breaks"]),
    (Act::Lock, &["locks"]),
    (Act::TryStart, &["control", "started"]),
    (Act::WaitStoredEnergy, &["started_at", "ended_at"]),
    (Act::ProveTesterBefore, &["tester", "source"]),
    (Act::TestDead, &["tester", "point_of_work", "readings"]),
    (Act::ProveTesterAfter, &["tester", "source"]),
    (Act::CoverLive, &["live_remains"]),
    (Act::ReleaseWork, &["release_number", "scope", "expires_at"]),
    (Act::Disconnect, &["poles"]),
    (Act::CoverPoles, &["poles"]),
];

/// Columns without which a table of that name says nothing.
const COLUMNS: [(&str, &[&str]); 3] = [
    ("readings", &["pair", "supply", "voltage_v"]),
    ("locks", &["device", "holder", "fitted_at"]),
    ("poles", &["pole", "covered_at"]),
];

impl Prover<'_> {
    /// Every act of the chain is shown by evidence, not by a tick.
    pub(super) fn acts_are_shown(&mut self) {
        for (_, step) in self.steps() {
            for (act, names) in ASKED {
                if !step.does_act(act) {
                    continue;
                }
                for name in names {
                    if let Some(what) = not_shown(step, name) {
                        self.flaw(step, format!("is to {} and {what}", act.words()));
                    }
                }
            }
        }
    }

    /// A file that names no acts would prove everything, and one without a way out nothing.
    pub(super) fn acts_are_named(&mut self) {
        if !self.steps().any(|(_, step)| step.is_touching()) {
            self.escapes.push(Escape::Lacks(
                "step with an act that parts, splits, opens, touches or lifts; a removal does",
            ));
        }
        let way_out = |step: &Step| step.does_act(Act::Withdraw) && step.needs.is_empty();
        if !self.steps().any(|(_, step)| way_out(step)) {
            self.escapes.push(Escape::Lacks(
                "step that stops work, leaves and calls (`withdraw`) and needs nothing before",
            ));
        }
        for (_, step) in self.steps() {
            let opens_poles = step.evidence.iter().any(|spec| {
                let asks = |name: &str| spec.columns.iter().any(|column| column.name == name);
                asks("opened_at") && asks("covered_at")
            });
            if opens_poles && !step.is_touching() {
                self.flaw(
                    step,
                    "asks when a pole was opened and covered, and names no act that touches",
                );
            }
        }
    }

    /// A need that a plan, a module's soundness or a quiet day can leave without an answer keeps
    /// its step shut for ever.
    pub(super) fn every_step_can_open(&mut self) {
        for (_, step) in self.steps() {
            for need in &step.needs {
                if let Some(what) = self.never_met(step, need) {
                    self.flaw(step, what);
                }
            }
        }
    }

    fn never_met(&self, step: &Step, need: &Need) -> Option<String> {
        let named: Vec<&Step> = need
            .ids()
            .into_iter()
            .filter_map(|id| self.procedure.step(id))
            .collect();
        let is_sure = !matches!(need, Need::IfPlanned(_));
        if named.is_empty() {
            return is_sure.then(|| format!("can never open: there is no step `{need}`"));
        }
        if is_sure && step.branch != Branch::RedFlag {
            let all_red = named.iter().all(|other| other.branch == Branch::RedFlag);
            if all_red {
                return Some(format!(
                    "can never open on a quiet day: `{need}` belongs to stop-work"
                ));
            }
        }
        if let Need::Step(id) = need
            && named.iter().any(|other| other.optional)
        {
            return Some(format!(
                "can never open where the plan leaves `{id}` out; write `{id}?`"
            ));
        }
        let per_module = named.iter().all(|other| other.per == Per::Module);
        match (need, step.per) {
            (Need::EveryModule(id), _) if !per_module => {
                return Some(format!("needs `{id}` of every module, and it is done once"));
            }
            (Need::EveryModule(_), Per::Module) => {
                return Some(format!(
                    "is done for one module and waits for all: `{need}`"
                ));
            }
            (Need::Step(id), Per::Job) if per_module => {
                return Some(format!(
                    "is done once and needs `{id}`, which is done for each module; write `{id}*`"
                ));
            }
            _ => {}
        }
        let asks_for = |when: When| match when {
            When::Always => vec![When::NotDamaged, When::Damaged],
            one => vec![one],
        };
        let met_by = |case: When| {
            named
                .iter()
                .any(|other| other.per == Per::Job || asks_for(other.when).contains(&case))
        };
        let unmet = is_sure && asks_for(step.when).into_iter().any(|case| !met_by(case));
        unmet.then(|| {
            format!("can never open for some modules: `{need}` is not done for all of them")
        })
    }

    /// Proof of the tester, test, proof of the tester: one set, with nothing between.
    pub(super) fn tester_sets(&mut self) {
        for (at, step) in self.steps() {
            let Some(place) = step.acts.iter().position(|act| *act == Act::TestDead) else {
                continue;
            };
            let own = |place: Option<usize>, act| {
                place.and_then(|place| step.acts.get(place)) == Some(&act)
            };
            let before = own(place.checked_sub(1), Act::ProveTesterBefore)
                || (place == 0
                    && step.needs.iter().any(|need| {
                        matches!(need, Need::Step(id) if self.procedure.step(id).is_some_and(
                            |other| other.acts.last() == Some(&Act::ProveTesterBefore)
                        ))
                    }));
            if !before {
                self.flaw(
                    step,
                    "tests for absence of voltage without a need on the step that proves the \
                     tester just before",
                );
            }
            let after = own(Some(place + 1), Act::ProveTesterAfter)
                || (place + 1 == step.acts.len()
                    && self.steps().any(|(_, other)| {
                        other.acts.first() == Some(&Act::ProveTesterAfter)
                            && other.needs.contains(&Need::Step(step.id.clone()))
                    }));
            if !after {
                self.flaw(
                    step,
                    "tests for absence of voltage, and no step that needs it proves the tester \
                     just after",
                );
            }
            if let Some(between) = self.between_test_and_proofs(at) {
                self.flaw(
                    step,
                    format!("is parted from the proofs of the tester by {between}"),
                );
            }
        }
    }

    /// A step that is sure to come between the proof before and the test, or the test and the
    /// proof after.
    fn between_test_and_proofs(&self, test: usize) -> Option<String> {
        let befores = self.doing(Act::ProveTesterBefore);
        let afters = self.doing(Act::ProveTesterAfter);
        let sure =
            |at: usize, place: usize| self.graph.guaranteed(at).is_some_and(|set| set.has(place));
        self.steps()
            .find(|(place, _)| {
                let after_a_proof = befores
                    .iter()
                    .any(|before| sure(*place, before) && sure(test, before));
                let before_the_test = sure(test, *place);
                let before_a_proof = afters.iter().any(|after| sure(after, *place));
                *place != test
                    && ((after_a_proof && before_the_test)
                        || (sure(*place, test) && before_a_proof))
            })
            .map(|(_, step)| step.id.clone())
    }

    /// A bonding step must ask, for each conductor, whether a battery is on it, and take only no.
    pub(super) fn bonds(&mut self) -> Vec<String> {
        let mut proved = Vec::new();
        for (_, step) in self.steps() {
            if !step.does_act(Act::Bond) {
                continue;
            }
            let asks = step.evidence.iter().any(|spec| {
                spec.kind == EvidenceKind::Table
                    && spec.columns.iter().any(|column| {
                        column.name == "has_battery"
                            && !column.optional
                            && column.unknown.is_empty()
                            && column
                                .limits
                                .iter()
                                .any(|limit| limit.is.as_deref() == Some("no"))
                    })
            });
            if asks {
                proved.push(step.id.clone());
            } else {
                self.flaw(
                    step,
                    "bonds a conductor and does not ask, with no as the only answer, whether a \
                     battery is on it (`has_battery`)",
                );
            }
        }
        proved
    }
}

fn not_shown(step: &Step, name: &str) -> Option<String> {
    let Some(spec) = step.spec(name) else {
        return Some(format!("does not ask for `{name}`"));
    };
    if spec.optional || !spec.unknown.is_empty() {
        return Some(format!("can pass without `{name}`"));
    }
    let columns = COLUMNS
        .iter()
        .find(|(table, _)| *table == name)
        .map_or(&[][..], |(_, columns)| columns);
    columns.iter().find_map(|wanted| {
        let column = spec.columns.iter().find(|column| column.name == *wanted);
        match column {
            None => Some(format!("does not ask for `{name}.{wanted}`")),
            Some(column) if column.optional || !column.unknown.is_empty() => {
                Some(format!("can pass without `{name}.{wanted}`"))
            }
            Some(_) => None,
        }
    })
}
