//! The state of charge of each module: what the record says of it, brought together.
//!
//! Each reading is judged by itself (`physics::module_charge`): the step in which the module was
//! metered, then any later `reading` entry on it. A module that stands apart is never charged, so
//! an earlier upper bound holds on; it may have been discharged since, so only the newest lower
//! bound counts. Bounds that cross contradict each other, and then nothing is known.

use super::Job;
use crate::battery::{Anode, Cathode, Chemistry, Soundness, Variant};
use crate::clock::Moment;
use crate::inspection::{LimitVerdict, StateOfCharge, soundness_of};
use crate::physics::{
    CellKind, Counted, LastCurrent, MakerCurve, MeterRecord, ModuleCharge, ModuleEvidence,
    SelfDischargeOutcome, module_charge,
};
use crate::procedure::{Act, Entry, Role};
use crate::transport::{Mode, Regime};
use crate::units::Decimal;

/// Most that a battery may be charged to by air: 49 CFR 172.102(c)(2), A100, and the technical
/// instructions, PI 965 (second-hand), of rated capacity; present capacity is the careful side.
const AIR_LIMIT_PERCENT: i32 = 30;

/// The finding that the readings of the charge contradict each other.
const CONTRADICTION: &str = "F37";

/// One reading and what it amounts to.
struct Judged<'a> {
    entry: &'a Entry,
    evidence: ModuleEvidence,
    result: Result<ModuleCharge, String>,
}

impl Job {
    /// The limit of the state of charge that a leg of the route asks for, per cent.
    #[must_use]
    pub fn charge_limit_percent(&self) -> Option<Decimal> {
        self.plan()
            .route
            .iter()
            .any(|leg| {
                leg.regime == Regime::Air
                    || matches!(
                        leg.mode,
                        Some(Mode::CargoAircraft | Mode::PassengerAircraft)
                    )
            })
            .then(|| Decimal::whole(AIR_LIMIT_PERCENT))
    }

    /// The family of curves of the modules.
    #[must_use]
    pub fn cell_kind(&self) -> CellKind {
        let installation = &self.plan().installation;
        if installation.chemistry == Chemistry::LithiumIon && installation.anode == Anode::Titanate
        {
            return CellKind::Lto;
        }
        match (installation.chemistry, installation.cathode) {
            (Chemistry::LithiumIon, Cathode::Lfp) => CellKind::Lfp,
            (Chemistry::LithiumIon, Cathode::Nmc) => CellKind::Nmc,
            (Chemistry::LithiumIon, Cathode::Nca) => CellKind::Nca,
            (Chemistry::LithiumIon, Cathode::Lco) => CellKind::Lco,
            (Chemistry::SodiumIonOrganic | Chemistry::SodiumIonAqueous, _) => CellKind::SodiumIon,
            _ => CellKind::Unknown,
        }
    }

    /// Findings on a module, sorted: those of the record, and that its readings of the charge
    /// contradict each other.
    #[must_use]
    pub fn findings(&self, module: usize) -> Vec<&str> {
        self.findings_by(module, &self.state_of_charge(module))
    }

    /// The same, where the state of charge is at hand.
    pub(super) fn findings_by(&self, module: usize, charge: &StateOfCharge) -> Vec<&str> {
        let mut codes = self.progress().findings(Some(module));
        if charge.contradiction && !codes.contains(&CONTRADICTION) {
            codes.push(CONTRADICTION);
            codes.sort_unstable();
        }
        codes
    }

    /// Soundness as somebody judged it, and never better than the findings allow; `None` where nobody
    /// has judged.
    #[must_use]
    pub fn judged_soundness(&self, module: usize) -> Option<Soundness> {
        self.progress().soundness(module)?;
        self.judged_by(module, &self.state_of_charge(module))
    }

    /// The same, where the state of charge is at hand.
    pub(super) fn judged_by(&self, module: usize, charge: &StateOfCharge) -> Option<Soundness> {
        let judged = self.progress().soundness(module)?;
        let mut codes = self.findings_by(module, charge);
        if codes.contains(&CONTRADICTION) && self.contradiction_answered(module).is_some() {
            codes.retain(|code| *code != CONTRADICTION);
        }
        Some(judged.max(soundness_of(&codes)))
    }

    /// The judgement in which the compliance officer answers for readings of the charge that
    /// contradict each other: it names the finding, and no reading came after it. That module is as
    /// sound as judged; its charge still counts as full.
    #[must_use]
    pub fn contradiction_answered(&self, module: usize) -> Option<&Entry> {
        let judged = self.act_evidence(Act::Judge, module)?;
        let signed = [Some(judged.by.as_str()), judged.with.as_deref()];
        signed.into_iter().flatten().find_map(|who| {
            let who = self.frame().person(who)?;
            who.competence(&[Role::ComplianceOfficer], judged.at.local_day())
        })?;
        let names_it = judged
            .evidence
            .texts("reasons")
            .iter()
            .flat_map(|text| text.split([',', ' ']))
            .any(|code| code == CONTRADICTION);
        let is_last = self.readings(module).all(|one| one.at <= judged.at);
        (names_it && is_last).then_some(judged)
    }

    /// State of charge of a module by all its readings.
    #[must_use]
    pub fn state_of_charge(&self, module: usize) -> StateOfCharge {
        let limit = self.charge_limit_percent();
        let judged = self.judged(module, limit);
        let mut charge = StateOfCharge::not_known();
        let mut basis: Vec<String> = Vec::new();
        let mut newest_counts = false;
        for one in &judged {
            match &one.result {
                Err(why) => charge.reasons.push(format!(
                    "the reading of {} does not count: {why}",
                    one.entry.at
                )),
                Ok(found) => {
                    charge.contradiction |= found.contradiction;
                    charge.proving_cell_voltage_v = charge
                        .proving_cell_voltage_v
                        .or(found.proving_cell_voltage_v);
                    if found.narrowed {
                        if !newest_counts {
                            charge.low_percent = found.low_percent;
                            newest_counts = true;
                        }
                        charge.high_percent = charge.high_percent.min(found.high_percent);
                        basis.extend(words(&one.evidence, found));
                        for curve in &found.curves {
                            if !charge.curves.contains(curve) {
                                charge.curves.push(curve.clone());
                            }
                        }
                    }
                }
            }
        }
        charge.contradiction |= charge.low_percent > charge.high_percent
            || self
                .progress()
                .findings(Some(module))
                .contains(&CONTRADICTION);
        if charge.contradiction {
            charge.low_percent = Decimal::whole(0);
            charge.high_percent = Decimal::whole(100);
            charge.basis = "the readings contradict each other: taken as full".into();
            charge.reasons.push(format!(
                "the readings of its charge contradict each other (finding {CONTRADICTION}): read \
                     every cell again with another meter, and correct what was wrong"
            ));
        } else if !basis.is_empty() {
            charge.basis = basis.join("; ");
        }
        if let Some((outcome, Some(percent))) = self.loss(module) {
            let rule = match outcome {
                SelfDischargeOutcome::Damaged => Some(("V2", "F24")),
                SelfDischargeOutcome::Suspect => Some(("V1", "F23")),
                SelfDischargeOutcome::NoRuleBroken | SelfDischargeOutcome::NotAssessable => None,
            };
            charge.reasons.extend(rule.map(|(rule, code)| {
                format!("its lowest cell loses {percent} % a day ({rule}): record finding {code}")
            }));
        }
        if let Some(limit) = limit {
            let verdict = if charge.high_percent <= limit {
                LimitVerdict::Proven
            } else if charge.low_percent > limit {
                LimitVerdict::Disproven
            } else {
                LimitVerdict::NotProven
            };
            charge.limit = Some((limit, verdict));
            if verdict == LimitVerdict::NotProven {
                let newest = judged.iter().find_map(|one| one.result.as_ref().ok());
                charge.reasons.extend(newest.map_or_else(
                    || vec!["nothing was read of its charge".to_owned()],
                    |found| found.reasons.clone(),
                ));
            }
        }
        charge
    }

    /// Every reading that says something of the charge, the newest first.
    fn judged(&self, module: usize, limit: Option<Decimal>) -> Vec<Judged<'_>> {
        let mut entries: Vec<&Entry> = self.readings(module).collect();
        entries.reverse();
        entries.extend(self.metered(module));
        entries
            .into_iter()
            .map(|entry| (entry, self.evidence_in(entry, module, limit)))
            .filter(|(_, evidence)| evidence.says_something())
            .map(|(entry, evidence)| Judged {
                entry,
                result: module_charge(&evidence).map_err(|error| error.to_string()),
                evidence,
            })
            .collect()
    }

    /// The entry in which the module's poles were metered.
    fn metered(&self, module: usize) -> Option<&Entry> {
        ["state_of_charge_percent", "terminal_voltage_v"]
            .into_iter()
            .find_map(|name| self.answering(module, name))
    }

    fn evidence_in(&self, entry: &Entry, module: usize, limit: Option<Decimal>) -> ModuleEvidence {
        let planned = self.frame().modules.get(module);
        let installation = &self.plan().installation;
        let said = &entry.evidence;
        let findings = self.progress().findings(Some(module));
        let found = |codes: &[&str]| codes.iter().any(|code| findings.contains(code));
        let meter = said
            .text("instrument")
            .and_then(|serial| self.frame().instrument(serial))
            .and_then(|one| {
                Some(MeterRecord {
                    percent_of_reading: one.accuracy_percent_of_reading?,
                    digits: one.accuracy_digits?,
                })
            });
        let counted = || {
            Some(Counted {
                anchor_high_percent: said.number("counted_from_percent")?,
                removed_ah: said.number("counted_out_ah")?,
                gain_error_percent: said.number("counter_error_percent")?,
                offset_a: said.number("counter_offset_a")?,
                hours: said.number("counted_h")?,
                rated_capacity_ah: planned?.rated_capacity_ah?.decimal(),
            })
        };
        let stable = || {
            Some((
                said.number("stable_first_v")?,
                said.number("stable_second_v")?,
                said.number("stable_minutes_apart")?,
            ))
        };
        ModuleEvidence {
            chemistry: self.cell_kind(),
            cells: planned.and_then(|one| one.cells_in_series),
            nominal_voltage_v: planned
                .and_then(|one| one.nominal_voltage_v)
                .map(|volts| volts.decimal()),
            terminal_voltage_v: said.number("terminal_voltage_v"),
            cell_voltage_lowest_v: said.number("cell_voltage_lowest_v"),
            cell_voltage_highest_v: said.number("cell_voltage_highest_v"),
            cell_voltage_error_mv: said.number("cell_voltage_error_mv"),
            cell_spread_mv: said.number("cell_spread_mv"),
            meter,
            temperature_c: said.number("face_temperature_c").or_else(|| {
                self.answering(module, "face_temperature_c")?
                    .evidence
                    .number("face_temperature_c")
            }),
            rested_min: self.rested_min(entry),
            // A module that stands apart carries no current; one that is said to does.
            current_a: said.number("current_a").or(Some(Decimal::whole(0))),
            last: match said.text("last_current") {
                Some("charging") => LastCurrent::Charging,
                Some("discharging") => LastCurrent::Discharging,
                _ => LastCurrent::Unknown,
            },
            stable: stable(),
            management: said
                .number("state_of_charge_percent")
                .map(|percent| (percent, said.number("state_of_charge_accuracy_percent"))),
            management_doubtful: found(&["F27", "F28"])
                || installation.variant == Variant::DamagedPack,
            voltage_doubtful: found(&["F18", "F19", "F20", "F21"]),
            counted: counted(),
            curve: installation.cell_curve_csv.clone().map(MakerCurve::Csv),
            limit_percent: limit,
        }
    }

    /// Minutes without current at the time of the entry: as said in it, else since the last
    /// isolating device was opened. What is said counts no further back than a current that was
    /// clamped.
    pub(super) fn rested_min(&self, entry: &Entry) -> Option<u32> {
        let since = |from: Moment| u32::try_from(entry.at.seconds_since(from) / 60).ok();
        let Some(said) = entry.evidence.number("rested_h") else {
            let opened = self
                .progress()
                .passed_doing(self.frame(), Act::Isolate, None)
                .flat_map(|isolated| isolated.evidence.rows("devices"))
                .filter_map(|row| row.time("opened_at"))
                .max()?;
            return since(opened);
        };
        // Hours in thousandths to whole minutes, rounded down.
        let minutes = u32::try_from(said.thousandths()?.checked_mul(60)? / 1000).ok()?;
        let flowing = self
            .progress()
            .passed_doing(self.frame(), Act::StopCurrent, None)
            .filter(|stopped| stopped.at <= entry.at)
            .filter(|stopped| {
                stopped
                    .evidence
                    .number("current_a")
                    .is_some_and(|ampere| ampere != Decimal::whole(0))
            })
            .map(|stopped| stopped.at)
            .max();
        match flowing {
            Some(at) => Some(minutes.min(since(at)?)),
            None => Some(minutes),
        }
    }
}

/// What narrowed it, in words.
fn words(evidence: &ModuleEvidence, found: &ModuleCharge) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(error) = found.voltage_error_mv {
        let read = match (
            evidence.cell_voltage_lowest_v,
            evidence.cell_voltage_highest_v,
            evidence.terminal_voltage_v,
        ) {
            (Some(low), Some(high), _) => format!("rested cells {low} to {high} V"),
            (_, _, Some(volts)) => format!("rested module {volts} V"),
            _ => "rested voltage".into(),
        };
        words.push(format!("{read}, ± {error} mV a cell"));
    }
    if let Some((percent, accuracy)) = evidence
        .management
        .filter(|_| !evidence.management_doubtful)
    {
        let accuracy = accuracy.map_or(Decimal::whole(5), Decimal::magnitude);
        words.push(format!(
            "battery management system {percent} % ± {accuracy}"
        ));
    }
    if let Some(count) = evidence.counted {
        words.push(format!(
            "{} Ah counted out from {} %",
            count.removed_ah, count.anchor_high_percent
        ));
    }
    words
}
