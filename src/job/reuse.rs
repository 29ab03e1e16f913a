//! Reuse: which of the gates are open for a module, and what its voltages say of lost charge.

use super::Job;
use crate::battery::Soundness;
use crate::physics::{
    PartialDischarge, ReuseEvidence, ReuseGates, SelfDischargeOutcome, TwoReadings, loss_of_charge,
    reuse_gates,
};
use crate::procedure::{Entry, two_reading_insulation};
use crate::units::Decimal;

/// Minutes without current after which a cell counts as rested (chosen here).
const REST_MIN: u32 = 180;

impl Job {
    /// The gates before a module may be offered for reuse, by everything the record says.
    ///
    /// # Errors
    /// Readings that contradict themselves, in words.
    pub fn reuse_gates(&self, module: usize) -> Result<ReuseGates, String> {
        let newest_entry = |name: &str| {
            self.readings(module)
                .filter(|entry| entry.evidence.answer(name).is_some())
                .last()
                .or_else(|| self.answering(module, name))
        };
        let newest = |name: &str| newest_entry(name).map(|entry| &entry.evidence);
        // A spread counts only where the cells have come to rest.
        let rested_cells = || {
            let entry = newest_entry("cell_voltage_lowest_v")?;
            let rested = self.rested_min(entry).is_some_and(|min| min >= REST_MIN);
            let said = &entry.evidence;
            said.number("cell_voltage_lowest_v")
                .zip(said.number("cell_voltage_highest_v"))
                .filter(|_| rested)
        };
        let number = |name: &str| newest(name)?.number(name);
        let findings = self.findings(module);
        let discharge = || {
            let said = newest("discharged_ah")?;
            Some(PartialDischarge {
                rated_capacity_ah: self
                    .frame()
                    .modules
                    .get(module)?
                    .rated_capacity_ah?
                    .decimal(),
                removed_ah: said.number("discharged_ah")?,
                error_percent: said
                    .number("discharged_error_percent")
                    .unwrap_or(Decimal::whole(1)),
                start_percent: (
                    said.number("discharge_start_low_percent")?,
                    said.number("discharge_start_high_percent")?,
                ),
                end_percent: (
                    said.number("discharge_end_low_percent")?,
                    said.number("discharge_end_high_percent")?,
                ),
            })
        };
        let evidence = ReuseEvidence {
            sound: self
                .judged_soundness(module)
                .map(|judged| judged == Soundness::Sound),
            discharge: discharge(),
            resistance_ratio: number("resistance_ratio"),
            loss_percent_per_day: number("self_discharge_percent_per_day")
                .or_else(|| self.loss(module)?.1),
            insulation_ohm_per_v: newest_entry("insulation_ohm_per_v")
                .and_then(|entry| self.insulation_in(entry, module))
                .or_else(|| self.insulation(module)),
            cells_v: rested_cells(),
            chemistry: self.cell_kind(),
            management_readable: if findings.iter().any(|code| matches!(*code, "F27" | "F28")) {
                Some(false)
            } else {
                number("state_of_charge_percent").map(|_| true)
            },
            papers_held: newest("papers_held").and_then(|said| said.yes_no("papers_held")),
        };
        reuse_gates(&evidence).map_err(|error| error.to_string())
    }

    /// The gates in words, each with where it stands, and the state of health where it is known.
    #[must_use]
    pub fn reuse_words(&self, module: usize) -> Vec<String> {
        match self.reuse_gates(module) {
            Err(why) => vec![format!("no gate can be judged: {why}")],
            Ok(found) => found
                .gates
                .iter()
                .map(|(gate, state)| format!("{}: {gate}", state.word()))
                .chain(found.health_percent.map(|(low, high)| {
                    format!("state of health {low} to {high} % of the rated capacity")
                }))
                .collect(),
        }
    }

    /// Insulation of a module as it was metered in its steps, ohms for each volt.
    pub(super) fn insulation(&self, module: usize) -> Option<Decimal> {
        ["insulation_ohm_per_v", "with_resistor_v"]
            .into_iter()
            .find_map(|name| self.answering(module, name))
            .and_then(|entry| self.insulation_in(entry, module))
    }

    /// The lower of what was said and of what the two readings give.
    fn insulation_in(&self, entry: &Entry, module: usize) -> Option<Decimal> {
        let said = entry.evidence.number("insulation_ohm_per_v");
        let found = two_reading_insulation(self.frame(), self.progress(), module, &entry.evidence)
            .and_then(Result::ok);
        match (said, found) {
            (Some(said), Some(found)) => Some(said.min(found)),
            (said, found) => said.or(found),
        }
    }

    /// Loss of charge of the lowest cell between its first rested and its last reading.
    pub(super) fn loss(&self, module: usize) -> Option<(SelfDischargeOutcome, Option<Decimal>)> {
        const LOWEST: &str = "cell_voltage_lowest_v";
        let last = self
            .readings(module)
            .filter(|entry| entry.evidence.number(LOWEST).is_some())
            .last()?;
        // Relaxation looks like loss, so the first is one that had come to rest.
        let first = self
            .answering(module, LOWEST)
            .into_iter()
            .chain(self.readings(module))
            .filter(|entry| entry.evidence.number(LOWEST).is_some())
            .find(|entry| self.rested_min(entry).is_some_and(|min| min >= REST_MIN))?;
        let temperature = |entry: &Entry| {
            entry.evidence.number("face_temperature_c").or_else(|| {
                self.answering(module, "face_temperature_c")?
                    .evidence
                    .number("face_temperature_c")
            })
        };
        loss_of_charge(&TwoReadings {
            chemistry: self.cell_kind(),
            cell_v: (
                first.evidence.number(LOWEST)?,
                last.evidence.number(LOWEST)?,
            ),
            minutes_apart: u32::try_from(last.at.seconds_since(first.at) / 60).ok()?,
            temperature_c: (temperature(first)?, temperature(last)?),
            rested: true,
        })
        .ok()
    }
}
