//! The proof of the dead state: wait, tester, dead test, bond, cover, release.

use super::ruling::Rules;
use super::wait::{label_read, required_wait_s};
use crate::battery::Supply;
use crate::citation::Reason;
use crate::inspection::InstrumentKind;
use crate::procedure::Act;
use crate::units::Decimal;

impl<'a> Rules<'a> {
    /// C19: from the later of the last opening and the try-start, at least the label's time, the
    /// computed time, or 300 s where there is neither. A floor for the wait, never proof.
    pub(super) fn wait(&mut self) {
        let (Some(start), Some(end)) = (
            self.evidence().time("started_at"),
            self.evidence().time("ended_at"),
        ) else {
            return;
        };
        let try_start = self
            .progress
            .passed_doing(self.frame, Act::TryStart, None)
            .chain(self.step.does_act(Act::TryStart).then_some(self.entry))
            .map(|entry| entry.at)
            .max();
        let earliest = self.opened().into_values().chain(try_start).max();
        if let Some(earliest) = earliest
            && start < earliest
        {
            self.fail(
                Reason::new(self.what("started_at"), start.to_string())
                    .limit(format!(
                        "not before the last opening and the try-start, {earliest}"
                    ))
                    .clause("29 CFR 1910.147(d)(5); the clock restarts on any re-close")
                    .way_out("wait again from the later of the two"),
            );
        }
        let required = required_wait_s(self.frame, label_read(self.frame, self.progress));
        let waited = end.seconds_since(start);
        if waited < required.seconds {
            self.fail(
                Reason::new(self.what("wait for stored energy"), format!("{waited} s"))
                    .limit(format!("{} s ({})", required.seconds, required.from))
                    .clause("29 CFR 1910.333(b)(2)(ii)(C), read in WAC 296-307-37807; NFPA 70E-2018, 120.5(4)")
                    .way_out("wait longer, then write the end down again; waiting is a floor, the dead test decides"),
            );
        }
    }

    /// C20 and C22: same tester, same source, inside the window, the reading inside the source's
    /// band, rated for what is there.
    pub(super) fn tester(&mut self, before: bool) {
        let evidence = self.evidence();
        let source = evidence.text("source").unwrap_or("");
        let unit = self
            .frame
            .instrument(source)
            .filter(|one| one.kind == InstrumentKind::ProvingUnit);
        let (low, high) = match unit {
            Some(unit) => {
                if let Some(reason) = unit.out_of_date(self.entry.at.local_day()) {
                    self.ruling.refusals.push(reason);
                }
                (
                    unit.proving_low_v.map(|v| v.decimal()),
                    unit.proving_high_v.map(|v| v.decimal()),
                )
            }
            None => (
                evidence.number("stated_low_v"),
                evidence.number("stated_high_v"),
            ),
        };
        let prefix = self.prefix(before);
        let [ac, dc] = ["voltage_ac_v", "voltage_dc_v"].map(|name| format!("{prefix}{name}"));
        let readings: Vec<Decimal> = [&ac, &dc]
            .into_iter()
            .filter_map(|name| evidence.number(name))
            .map(Decimal::magnitude)
            .collect();
        match (low, high) {
            (Some(low), Some(high)) if !readings.is_empty() => {
                for reading in readings {
                    if reading < low || reading > high {
                        self.fail(
                            Reason::new(
                                self.what("reading on the known source"),
                                format!("{reading} V"),
                            )
                            .limit(format!("{low} to {high} V, what {source} gives"))
                            .clause("NFPA 70E-2018, 120.5(7): live-dead-live (second-hand)")
                            .way_out("take another tester; nothing is proved with this one"),
                        );
                    }
                }
            }
            _ => self.fail(
                Reason::new(
                    self.what("known source"),
                    if readings.is_empty() {
                        "no reading".into()
                    } else {
                        format!("`{source}` has no stated band")
                    },
                )
                .limit("a reading inside the band that the source states")
                .clause("NFPA 70E-2018, 120.5(7): live-dead-live (second-hand)")
                .way_out("use a proving unit of the plan, or state the band of the live point"),
            ),
        }
        for (supply, name, word) in [
            (Supply::Ac, &ac, "alternating"),
            (Supply::Dc, &dc, "direct"),
        ] {
            let mut sources = self.frame.installation.sources.iter();
            if sources.any(|source| source.supply == supply) && evidence.number(name).is_none() {
                let short = if supply == Supply::Ac { "ac" } else { "dc" };
                self.fail(
                    Reason::new(self.what(name), format!("no reading on {word} voltage"))
                        .limit(format!("a tester is proved on {short} for {short} work"))
                        .clause("rule 3.6 and step C20 of the procedure")
                        .way_out(format!("prove it on {short} too")),
                );
            }
        }
        self.tester_rating();
        if !before {
            self.same_tester_and_window();
        }
    }

    /// A step that holds the whole set asks for the proof before and after under two names.
    fn prefix(&self, before: bool) -> &'static str {
        match (self.holds_the_set(), before) {
            (false, _) => "",
            (true, true) => "before_",
            (true, false) => "after_",
        }
    }

    fn holds_the_set(&self) -> bool {
        self.step.does_act(Act::ProveTesterBefore) && self.step.does_act(Act::ProveTesterAfter)
    }

    pub(super) fn tester_rating(&mut self) {
        let Some(serial) = self.evidence().text("tester") else {
            return;
        };
        let Some(tester) = self.frame.instrument(serial) else {
            return;
        };
        let highest = self
            .frame
            .installation
            .sources
            .iter()
            .filter(|source| source.supply == Supply::Dc)
            .map(|source| source.nominal_voltage_v)
            .chain([self.frame.installation.max_voltage_v])
            .max()
            .unwrap_or_default()
            .as_thousandths();
        let factor = self.frame.setting("tester_rating_factor");
        let needed = highest.saturating_mul(factor.thousandths().unwrap_or(i64::MAX)) / 1000;
        let rated = tester
            .rated_dc_voltage_v
            .map(|rated| rated.as_thousandths());
        if rated.is_none_or(|rated| rated < needed) {
            self.ruling.refusals.push(
                Reason::new(
                    format!("rating of tester {serial}"),
                    rated.map_or("not known".into(), |r| {
                        format!("{} V dc", Decimal::from_thousandths(r))
                    }),
                )
                .limit(format!(
                    "{} V dc, {factor} times the highest direct voltage",
                    Decimal::from_thousandths(needed)
                ))
                .clause("rule 3.6 of the procedure (project default, not law)")
                .way_out("use a tester that is rated for this installation"),
            );
        }
    }

    pub(super) fn same_tester_and_window(&mut self) {
        let minutes = self.frame.whole_setting("proof_window_min");
        if self.holds_the_set() {
            let evidence = self.evidence();
            let times = (evidence.time("before_at"), evidence.time("after_at"));
            if let (Some(before), Some(after)) = times {
                self.inside_window(after.seconds_since(before), minutes);
            }
            return;
        }
        let before = self
            .progress
            .passed_doing(self.frame, Act::ProveTesterBefore, None)
            .last();
        let Some(before) = before else { return };
        let evidence = self.evidence();
        for name in ["tester", "source"] {
            if evidence.text(name) != before.evidence.text(name) {
                self.fail(
                    Reason::new(
                        self.what(name),
                        evidence.text(name).unwrap_or("none").to_owned(),
                    )
                    .limit(format!(
                        "{}, as before the dead test",
                        before.evidence.text(name).unwrap_or("none")
                    ))
                    .clause("rule G3 of the procedure: one tester, one source")
                    .way_out("start again with the tester proof"),
                );
            }
        }
        self.inside_window(self.entry.at.seconds_since(before.at), minutes);
        if !self.ruling.fails.is_empty() {
            let why = format!("the tester proof after it failed ({})", self.step.id);
            self.ruling
                .voids
                .push((Act::ProveTesterBefore, why.clone()));
            self.ruling.voids.push((Act::TestDead, why));
        }
    }

    fn inside_window(&mut self, gap: i64, minutes: i64) {
        if (0..=minutes * 60).contains(&gap) {
            return;
        }
        self.fail(
            Reason::new(
                self.what("time since the tester was proved before"),
                format!("{} min {} s", gap / 60, gap % 60),
            )
            .limit(format!("{minutes} min"))
            .clause("rule G3 of the procedure (project default, not law)")
            .way_out("prove, test and prove again in one go"),
        );
    }

    /// C21: every pair at the place of work, each within the limit, with the tester just proved.
    pub(super) fn dead_test(&mut self) {
        let evidence = self.evidence();
        if !self.step.does_act(Act::ProveTesterBefore)
            && let Some(proved) = self.act_evidence(Act::ProveTesterBefore)
            && proved.text("tester") != evidence.text("tester")
        {
            self.fail(
                Reason::new(
                    self.what("tester"),
                    evidence.text("tester").unwrap_or("none").to_owned(),
                )
                .limit(format!(
                    "{}, the one just proved",
                    proved.text("tester").unwrap_or("none")
                ))
                .clause("rule G3 of the procedure: one tester, one source")
                .way_out("test with the tester that was proved"),
            );
        }
        if evidence.text("outcome") == Some("not_provable") {
            // Lawful on a damaged pack: everything after it is live work and released as such.
            return;
        }
        let readings = evidence.rows("readings");
        let mut worst: Option<String> = None;
        for row in &readings {
            let (Some(pair), Some(volts)) = (row.text("pair"), row.number("voltage_v")) else {
                continue;
            };
            let ac = row.text("supply") == Some("ac");
            let limit = self
                .frame
                .setting(if ac { "dead_ac_v" } else { "dead_dc_v" });
            if volts.magnitude() > limit {
                let live = volts.magnitude() > self.frame.setting("live_v");
                worst = Some(format!("{pair} {volts} V"));
                self.fail(
                    Reason::new(self.what(pair), format!("{volts} V {}", if ac { "ac" } else { "dc" }))
                        .limit(format!("{limit} V"))
                        .clause(if live {
                            "live: above 50 V, 29 CFR 1910.333(a)(1), read in WAC 296-24-975"
                        } else {
                            "not yet dead (project default, not law)"
                        })
                        .way_out(if live {
                            "it is live: keep off, look for the source again (C09)"
                        } else {
                            "wait again (C19), prove the tester, test again; never put it down to ghost voltage"
                        }),
                );
            }
        }
        for pair in self.frame.installation.pairs_to_prove() {
            let there = readings
                .iter()
                .any(|row| row.text("pair") == Some(pair.0) && row.text("supply") == Some(pair.1));
            if !there {
                self.fail(
                    Reason::new(
                        self.what("readings"),
                        format!("{} {} is missing", pair.0, pair.1),
                    )
                    .limit("every pair of conductors at the place of work, in volts")
                    .clause("NFPA 70E-2018, 120.5(7); EN 50110-1 rule 3, all poles (second-hand)")
                    .way_out("measure the pair and write the volts, 0.0 as well"),
                );
            }
        }
        if let Some(worst) = worst {
            let why = format!("the dead test showed {worst}");
            self.ruling.voids.push((Act::WaitStoredEnergy, why.clone()));
            self.ruling.voids.push((Act::ProveTesterBefore, why));
            // A test made again after the release spoils the whole proof; a first test that fails
            // sends the crew back to the wait.
            let released = self
                .progress
                .passed_doing(self.frame, Act::ReleaseWork, None);
            if released.count() > 0 {
                self.ruling.breaks_dead_proof = Some(worst);
            }
        }
    }

    /// C23: never on a node that has a battery.
    pub(super) fn bond(&mut self) {
        let nodes = self.evidence().rows("nodes");
        if self.evidence().yes_no("provided") == Some(true) && nodes.is_empty() {
            self.fail(
                Reason::new(self.what("nodes"), "none named")
                    .limit("each bond point, with whether a battery is on it")
                    .way_out("name the nodes that were bonded"),
            );
        }
        if self.evidence().yes_no("provided") == Some(false)
            && self.evidence().text("not_provided_reason").is_none()
        {
            self.fail(
                Reason::new(self.what("not_provided_reason"), "none")
                    .limit("where there is no bonding point, what was found instead")
                    .clause(
                        "step C23 of the procedure: bond points, or not provided with the reason",
                    )
                    .way_out("say where you looked and what the maker says"),
            );
        }
        for node in nodes {
            let point = node.text("bond_point").unwrap_or("a node");
            if node.yes_no("has_battery") != Some(false) {
                self.ruling.refusals.push(
                    Reason::new(self.what(point), "a battery is on the node, or it is not known")
                        .limit("bonding and shorting only where no battery is connected")
                        .clause("EN 50110-1 rule 4 is for dead conductors; a battery cannot be made dead (NFPA on the 2021 edition of 70E, read in an abstract)")
                        .way_out("leave it unbonded, cover it, and test again before each touch"),
                );
            }
        }
    }

    /// C24: what stays live is listed, the pack's own terminals among it.
    pub(super) fn cover(&mut self) {
        let remains = self.evidence().rows("live_remains");
        if remains
            .iter()
            .any(|row| row.yes_no("is_battery") == Some(true))
        {
            return;
        }
        self.fail(
            Reason::new(self.what("live_remains"), "no battery among what stays live")
                .limit("the battery pack's own terminals are always on the list")
                .clause("the output of a battery cannot be made dead (NFPA on the 2021 edition of 70E, read in an abstract)")
                .way_out("list the pack terminals with their voltage and their cover"),
        );
    }

    /// C25: in force for one shift at most.
    pub(super) fn release(&mut self) {
        let not_provable = self
            .progress
            .passed_doing(self.frame, Act::TestDead, None)
            .any(|test| test.evidence.text("outcome") == Some("not_provable"));
        if not_provable && self.evidence().text("live_work_release").is_none() {
            self.fail(
                Reason::new(
                    self.what("live_work_release"),
                    "none, though the dead state could not be proved",
                )
                .limit("a live-work release for everything that follows")
                .clause("rule X11 of the procedure; live work needs its own release")
                .way_out("the person in charge gives the number of the live-work release"),
            );
        }
        let Some(expires) = self.evidence().time("expires_at") else {
            return;
        };
        let hours = self.frame.whole_setting("release_hours");
        let length = expires.seconds_since(self.entry.at);
        if length <= 0 || length > hours * 3600 {
            self.fail(
                Reason::new(self.what("expires_at"), expires.to_string())
                    .limit(format!(
                        "after {} and within {hours} h of it",
                        self.entry.at
                    ))
                    .clause("rule of the procedure (project default, not law)")
                    .way_out("release for this shift only"),
            );
        }
    }
}
