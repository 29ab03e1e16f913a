//! What touches, splits, lifts, judges, counts and hands over modules.

use super::ruling::Rules;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::inspection;
use crate::procedure::gate;
use crate::procedure::{Act, People};
use crate::units::Decimal;

/// Who may judge a module better.
const OFFICER: &str = "in doubt it goes up; only the compliance officer may judge it better, with the \
                       reason, and as the second person where another enters it";

impl<'a> Rules<'a> {
    /// A05, B08, R06, R07: every group that is left, below the limit.
    pub(super) fn split(&mut self) {
        let limit = self.frame.setting("group_limit_v");
        for row in self.evidence().rows("groups") {
            let (Some(group), Some(volts)) = (row.text("group"), row.number("voltage_v")) else {
                continue;
            };
            if volts.magnitude() > limit {
                self.fail(
                    Reason::new(self.what(group), format!("{volts} V dc"))
                        .limit(format!("{limit} V dc"))
                        .clause("NEC 2020, 480.7(B), (C)")
                        .way_out("open the next split point, from the middle; nothing else is open until then"),
                );
            }
        }
    }

    /// G8: parts that were joined and now stand apart were parted link by link, and each link has
    /// its row: the voltage across the gap, when it opened, when it was covered.
    pub(super) fn links(&mut self) {
        let groups = self.evidence().rows("groups").len();
        let joined = usize::try_from(self.frame.installation.strings).unwrap_or(usize::MAX);
        let splits = self.frame.steps_doing(Act::Split);
        let splits: Vec<&str> = splits.map(|(_, split)| split.id.as_str()).collect();
        // By name: a link that is written down twice was parted once.
        let parted = (1..=self.progress.len())
            .filter(|number| !self.progress.was_refused(*number))
            .filter_map(|number| self.progress.entry(number))
            .chain([self.entry])
            .filter(|entry| {
                let step = entry.step.as_deref();
                step.is_some_and(|step| splits.contains(&step))
            })
            .flat_map(|entry| entry.evidence.rows("breaks"))
            .filter_map(|row| row.text("link"))
            .collect::<std::collections::BTreeSet<_>>()
            .len();
        let owed = groups.saturating_sub(joined);
        if parted < owed {
            self.fail(
                Reason::new(
                    self.what("breaks"),
                    format!("{parted} links written down for {groups} groups"),
                )
                .limit(format!(
                    "{owed} links, each with the voltage across its gap"
                ))
                .clause("rule G8 of the procedure: voltage across the gap first")
                .way_out("measure and write down every link that was opened"),
            );
        }
    }

    /// M09: two people or an aid above 23 kg; an unknown mass counts as heavy.
    pub(super) fn lift(&mut self) {
        let planned = self
            .slot
            .and_then(|n| self.frame.modules.get(n))
            .and_then(|m| m.net_mass_kg);
        let mass = self
            .evidence()
            .number("net_mass_kg")
            .or(planned.map(|mass| mass.decimal()));
        let aided = self
            .evidence()
            .text("aid")
            .is_some_and(|aid| gate::aid_carries(self.frame, aid, mass));
        self.lifting_index(mass, aided);
        if self.step.people == People::TwoIfHeavy
            && gate::too_heavy_alone(mass)
            && self.entry.with.is_none()
            && !aided
        {
            self.ruling.refusals.push(
                Reason::new(
                    format!("{} by one person", self.step.id),
                    mass.map_or("mass not known".into(), |mass| format!("{mass} kg")),
                )
                .limit("23 kg for one person under the best conditions")
                .clause(
                    "revised NIOSH lifting equation (1991), load constant (read in a restatement)",
                )
                .way_out("two people, or a lifting aid of the plan that carries it"),
            );
        }
    }

    /// M06: never better than the findings, never better than judged before without the officer.
    pub(super) fn judge(&mut self) {
        let Some(module) = self.slot else { return };
        let judged = self
            .evidence()
            .text("soundness")
            .and_then(|word| serde_json::from_value::<Soundness>(word.into()).ok());
        let Some(judged) = judged else { return };
        let mut codes = self.progress.findings(Some(module));
        codes.extend(self.progress.findings(None));
        let reasons = self.evidence().texts("reasons");
        codes.extend(
            reasons
                .iter()
                .flat_map(|text| text.split([',', ' ']))
                .filter(|c| !c.is_empty() && !c.eq_ignore_ascii_case("none")),
        );
        let mut least = inspection::soundness_of(&codes);
        let apart = self.stands_apart(module);
        if apart.is_some() {
            least = least.max(Soundness::Suspect);
        }
        let grounds: Vec<String> = codes
            .iter()
            .map(|code| (*code).to_owned())
            .chain(apart)
            .collect();
        // Who metered the module enters this step, and that takes a qualified electrical worker; an
        // officer who is none signs as the second person.
        let signed = [Some(self.entry.by.as_str()), self.entry.with.as_deref()];
        let officer = signed
            .into_iter()
            .flatten()
            .any(|who| gate::is_officer(self.frame, who, self.entry.at));
        let before = self.progress.soundness(module);
        let worst = before.map_or(least, |before| before.max(least));
        if officer && judged < worst && worst == Soundness::Critical && self.entry.with.is_none() {
            self.fail(
                Reason::new(self.what("soundness"), format!("{judged}, by one person"))
                    .limit(format!("{worst} is judged better by two people"))
                    .clause(
                        "rule G14 of the procedure; the second person: project default, not law",
                    )
                    .way_out("name the second person who looked at it too, or leave it critical"),
            );
        }
        if judged < least && !officer {
            self.fail(
                Reason::new(self.what("soundness"), judged.word())
                    .limit(format!("{least} or worse, by {}", grounds.join(", ")))
                    .clause("ADR 2025, SP 376 (read in an unofficial translation); rule G14 of the procedure")
                    .way_out(OFFICER),
            );
        }
        if let Some(before) = before
            && judged < before
            && !officer
        {
            self.fail(
                Reason::new(
                    self.what("soundness"),
                    format!("{judged}, judged {before} before"),
                )
                .limit("no better than before")
                .clause("rule G14 of the procedure")
                .way_out(OFFICER),
            );
        }
    }

    /// M01: one serial, one module.
    pub(super) fn identify(&mut self) {
        let (Some(module), Some(serial)) = (self.slot, self.evidence().text("serial")) else {
            return;
        };
        let other = (0..self.frame.modules.len())
            .filter(|n| *n != module)
            .find(|n| self.progress.serial(*n).flatten() == Some(serial));
        if let Some(other) = other.and_then(|n| self.frame.modules.get(n)) {
            self.fail(
                Reason::new(self.what("serial"), format!("{serial} is already bound to {}", other.id))
                    .limit("one serial, one module")
                    .way_out("read both labels again; where one cannot be read, answer unknown and it gets a job serial"),
            );
        }
    }

    /// Z02: planned = removed + left behind.
    pub(super) fn count(&mut self) {
        let number = |name| self.evidence().number(name).and_then(Decimal::as_whole);
        let (Some(planned), Some(removed), Some(left)) =
            (number("planned"), number("removed"), number("left"))
        else {
            return;
        };
        let modules = self.frame.modules.len() as i64;
        let left_now = (0..self.frame.modules.len())
            .filter(|n| self.progress.left_behind(*n).is_some())
            .count() as i64;
        let lifted = (0..self.frame.modules.len())
            .filter(|n| self.progress.is_lifted(self.frame, *n))
            .count() as i64;
        if planned != modules || removed != lifted || left != left_now || planned != removed + left
        {
            self.fail(
                Reason::new(
                    self.what("count"),
                    format!("planned {planned}, removed {removed}, left {left}"),
                )
                .limit(format!(
                    "planned {modules}, removed {lifted}, left {left_now} by the record"
                ))
                .way_out("count again; a module that is not accounted for keeps the job open"),
            );
        }
    }

    /// Z13: not by the person who tested dead.
    pub(super) fn audit(&mut self) {
        if self
            .progress
            .passed_doing(self.frame, Act::TestDead, None)
            .any(|test| test.by == self.entry.by)
        {
            self.ruling.refusals.push(
                Reason::new(
                    self.what("auditor"),
                    self.frame.name_of(&self.entry.by).to_owned(),
                )
                .limit("another person than the one who tested dead")
                .clause("rule G11 of the procedure (project default, not law)")
                .way_out("somebody else audits"),
            );
        }
    }

    /// One pole exposed at a time: the first is covered before the second opens (rule G6).
    pub(super) fn one_pole_at_a_time(&mut self) {
        for table in ["poles", "breaks"] {
            let rows = self.evidence().rows(table);
            let mut before: Option<(&str, Moment)> = None;
            for row in rows {
                let pole = row
                    .text("pole")
                    .or_else(|| row.text("link"))
                    .unwrap_or("pole");
                let (opened, covered) = (row.time("opened_at"), row.time("covered_at"));
                let begins = opened.or(covered);
                if let (Some((other, covered_before)), Some(begins)) = (before, begins)
                    && begins < covered_before
                {
                    self.fail(
                        Reason::new(self.what(pole), format!("opened {} while {other} was bare until {}", begins.wall_clock(), covered_before.wall_clock()))
                            .limit("one pole bare at a time")
                            .clause("rule G6 of the procedure; temporary covers, HSE leaflet INDG139 (read)")
                            .way_out("cover the first, then open the next"),
                    );
                }
                if let (Some(opened), Some(covered)) = (opened, covered)
                    && covered < opened
                {
                    self.fail(
                        Reason::new(
                            self.what(pole),
                            format!(
                                "covered {} before it was opened {}",
                                covered.wall_clock(),
                                opened.wall_clock()
                            ),
                        )
                        .limit("opened, then covered")
                        .way_out("write down the true times"),
                    );
                }
                if let Some(covered) = covered {
                    before = Some((pole, covered));
                }
            }
        }
    }

    /// No part is bared before the release that is in force: an entry made after it cannot speak
    /// of an act before it.
    pub(super) fn nothing_before_the_release(&mut self) {
        let release = self
            .progress
            .passed_doing(self.frame, Act::ReleaseWork, None)
            .map(|entry| entry.at)
            .max();
        let Some(release) = release else { return };
        for table in ["poles", "breaks"] {
            for row in self.evidence().rows(table) {
                let part = row
                    .text("pole")
                    .or_else(|| row.text("link"))
                    .unwrap_or("part");
                let first = [row.time("opened_at"), row.time("covered_at")]
                    .into_iter()
                    .flatten()
                    .min();
                if let Some(first) = first
                    && first < release
                {
                    self.ruling.refusals.push(
                        Reason::new(self.what(part), format!("touched at {first}"))
                            .limit(format!("not before the release of the work, {release}"))
                            .clause("29 CFR 1910.333(b)(2), read in WAC 296-307-37807: de-energise first")
                            .way_out("stop: something was touched before it was released; tell the person in charge"),
                    );
                }
            }
        }
    }

    /// M07: both poles, each with its cover. A dc link is parted at both poles.
    pub(super) fn both_poles(&mut self) {
        let asks_gap = self.step.spec("poles").is_some_and(|spec| {
            spec.columns
                .iter()
                .any(|column| column.name == "gap_voltage_v")
        });
        let dc_link = self.step.does_act(Act::Disconnect) && asks_gap;
        if !(self.step.does_act(Act::CoverPoles) || dc_link) {
            return;
        }
        let poles: std::collections::BTreeSet<&str> = self
            .evidence()
            .rows("poles")
            .into_iter()
            .filter_map(|row| row.text("pole"))
            .collect();
        if poles.len() < 2 {
            self.fail(
                Reason::new(
                    self.what("poles"),
                    poles.into_iter().collect::<Vec<_>>().join(", "),
                )
                .limit("both poles, one after the other")
                .clause("rule G6 of the procedure; temporary covers, HSE leaflet INDG139 (read)")
                .way_out("go on with the other pole and write both down"),
            );
        }
    }

    /// M04: a reversed module is F19, a dead one F21.
    pub(super) fn terminal_voltage(&mut self) {
        let Some(volts) = self.evidence().number("terminal_voltage_v") else {
            return;
        };
        if volts < Decimal::whole(0) {
            self.ruling.findings.push("F19".into());
        } else if volts < Decimal::whole(1) {
            self.ruling.findings.push("F21".into());
        }
    }

    /// How far the module's voltage lies from the middle of the others, beyond the setting.
    fn stands_apart(&self, module: usize) -> Option<String> {
        let volts = |n: usize| {
            let entry = self.progress.evidence_of(self.frame, "M04", Some(n))?;
            entry.number("terminal_voltage_v")?.thousandths()
        };
        let own = volts(module)?;
        let mut others: Vec<i64> = (0..self.frame.modules.len())
            .filter(|n| *n != module)
            .filter_map(volts)
            .collect();
        others.sort_unstable();
        let middle = *others.get(others.len() / 2)?;
        let percent = self.frame.setting("voltage_spread_percent").thousandths()?;
        let apart = own.saturating_sub(middle).abs();
        (apart.saturating_mul(100_000) > percent.saturating_mul(middle.abs())).then(|| {
            format!(
                "{} V, the others {} V",
                Decimal::from_thousandths(own),
                Decimal::from_thousandths(middle)
            )
        })
    }

    /// Z06: as many packages as the record packed.
    pub(super) fn packages_handed_over(&mut self) {
        let Some(said) = self
            .evidence()
            .number("packages")
            .and_then(Decimal::as_whole)
        else {
            return;
        };
        let packed: std::collections::BTreeSet<&str> = (0..self.frame.modules.len())
            .flat_map(|n| self.progress.passed_doing(self.frame, Act::Pack, Some(n)))
            .filter_map(|entry| entry.evidence.text("package"))
            .collect();
        if i64::try_from(packed.len()).unwrap_or(i64::MAX) != said {
            self.fail(
                Reason::new(self.what("packages"), said.to_string())
                    .limit(format!("{} by the record", packed.len()))
                    .way_out("count again before anybody signs"),
            );
        }
    }
}
