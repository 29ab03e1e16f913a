//! Proofs beside the trunk's own: pv inputs of an inverter, the bus that racks share, each string.

use std::collections::{BTreeMap, BTreeSet};

use super::ruling::Rules;
use super::wait::{label_read, required_wait_s};
use crate::battery::SourceKind;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::procedure::{Act, Need};

impl Rules<'_> {
    /// What a step that proves something a second time owes, by the readings it asks for.
    pub(super) fn second_proof(&mut self) {
        let asks = |name: &str| self.step.spec(name).is_some();
        let (inputs, strings, tester) = (asks("inputs"), asks("strings"), asks("tester"));
        let bus = asks("readings") && !self.step.does_act(Act::TestDead);
        if inputs {
            self.input_wait();
            self.one_row_for_each_string("inputs");
        }
        if strings {
            self.one_row_for_each_string("strings");
        }
        if bus {
            self.every_pair_of_every_rack();
        }
        if tester && !self.step.does_act(Act::ProveTesterBefore) {
            self.tester_rating();
        }
    }

    /// B03: as long as C19, counted from the last time that anything which can charge the inputs
    /// was opened: every isolating device, and the plugs that were parted just before.
    fn input_wait(&mut self) {
        let (Some(start), Some(end)) = (
            self.evidence().time("started_at"),
            self.evidence().time("ended_at"),
        ) else {
            return;
        };
        let earliest = self
            .opened()
            .into_values()
            .chain(self.parted_before())
            .max();
        if let Some(earliest) = earliest
            && start < earliest
        {
            self.fail(
                Reason::new(self.what("started_at"), start.to_string())
                    .limit(format!("not before the last source was opened, {earliest}"))
                    .clause("29 CFR 1910.147(d)(5); the clock restarts on any re-close")
                    .way_out("wait again from then on"),
            );
        }
        let required = required_wait_s(self.frame, label_read(self.frame, self.progress));
        let waited = end.seconds_since(start);
        if waited < required.seconds {
            self.fail(
                Reason::new(
                    self.what("wait for the input capacitors"),
                    format!("{waited} s"),
                )
                .limit(format!(
                    "{} s ({}), as in C19",
                    required.seconds, required.from
                ))
                .clause("29 CFR 1910.333(b)(2)(ii)(C), read in WAC 296-307-37807")
                .way_out("wait longer, then prove the tester, measure, and prove it again"),
            );
        }
    }

    /// When the plugs of the steps that this one names were parted.
    fn parted_before(&self) -> Vec<Moment> {
        self.step
            .needs
            .iter()
            .filter_map(|need| match need {
                Need::Step(id) => self.progress.evidence_of(self.frame, id, self.slot),
                _ => None,
            })
            .flat_map(|evidence| evidence.rows("poles"))
            .filter_map(|row| row.time("opened_at"))
            .collect()
    }

    /// B01, B03, C14: no string of the plan is left unlooked at.
    fn one_row_for_each_string(&mut self, table: &str) {
        let planned = self
            .frame
            .installation
            .sources
            .iter()
            .filter(|source| source.kind == SourceKind::PvString)
            .count();
        let rows = self.evidence().rows(table).len();
        if rows < planned {
            self.fail(
                Reason::new(self.what(table), format!("{rows} of {planned}"))
                    .limit("each pv string of the plan")
                    .clause("step B01 of the procedure: per string")
                    .way_out("measure the ones that are missing and write them down"),
            );
        }
    }

    /// R03: plus to minus and each pole to earth, for every rack whose feed was opened.
    fn every_pair_of_every_rack(&mut self) {
        const PAIRS: [&str; 3] = ["DC+/DC-", "DC+/PE", "DC-/PE"];
        let mut measured: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for device in self
            .progress
            .passed_doing(self.frame, Act::Isolate, None)
            .flat_map(|entry| entry.evidence.rows("devices"))
        {
            if let Some(rack) = device.text("rack") {
                measured.entry(rack).or_default();
            }
        }
        for row in self.evidence().rows("readings") {
            if let (Some(rack), Some(pair)) = (row.text("rack"), row.text("pair")) {
                measured.entry(rack).or_default().insert(pair);
            }
        }
        for (rack, pairs) in measured {
            for missing in PAIRS.iter().filter(|pair| !pairs.contains(**pair)) {
                self.fail(
                    Reason::new(
                        self.what("readings"),
                        format!("rack {rack}: {missing} is missing"),
                    )
                    .limit("the bus against itself and against earth, for every rack")
                    .clause("step R03 of the procedure; EN 50110-1 rule 3, all poles (second-hand)")
                    .way_out("measure the pair and write the volts, 0.0 as well"),
                );
            }
        }
    }
}
