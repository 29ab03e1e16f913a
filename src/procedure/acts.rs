//! Rules of single acts that no plain limit can say: locks, the wait, the tester trio, the dead
//! test, one pole at a time, splitting, lifting, judging.
//!
//! Each looks at one entry against the frame and the progress and says why it does not pass.

use std::collections::{BTreeMap, BTreeSet};

use super::frame::{Frame, Slot};
use super::gate;
use super::progress::Progress;
use super::watch;
use super::{Act, Entry, Evidence, People, Step};
use crate::battery::{Soundness, SourceKind, Supply};
use crate::citation::Reason;
use crate::clock::Moment;
use crate::inspection::{self, InstrumentKind};
use crate::units::Decimal;

/// What the act rules say of an entry.
#[derive(Debug, Default)]
pub(super) struct Ruling {
    /// Why the step does not pass.
    pub(super) fails: Vec<Reason>,
    /// Why the entry may not stand at all.
    pub(super) refusals: Vec<Reason>,
    /// Acts whose steps are void because of it.
    pub(super) voids: Vec<(Act, String)>,
    /// A voltage that shows the dead side is not dead.
    pub(super) breaks_dead_proof: Option<String>,
    /// Findings that follow.
    pub(super) findings: Vec<String>,
}

/// Looks at every act of the step, in order.
pub(super) fn rule(
    frame: &Frame,
    progress: &Progress,
    step: &Step,
    slot: Slot,
    entry: &Entry,
) -> Ruling {
    let mut rules = Rules {
        frame,
        progress,
        step,
        slot,
        entry,
        ruling: Ruling::default(),
    };
    for act in &step.acts {
        match act {
            Act::FindSources => rules.sources(),
            Act::Isolate => rules.isolating_devices(),
            Act::Lock => rules.locks(),
            Act::WaitStoredEnergy => rules.wait(),
            Act::ProveTesterBefore => rules.tester(true),
            Act::TestDead => rules.dead_test(),
            Act::ProveTesterAfter => rules.tester(false),
            Act::Bond => rules.bond(),
            Act::CoverLive => rules.cover(),
            Act::ReleaseWork => rules.release(),
            Act::Split => rules.split(),
            Act::LiftModule => rules.lift(),
            Act::Judge => rules.judge(),
            Act::Count => rules.count(),
            Act::RemoveLocks => rules.remove_locks(),
            Act::Audit => rules.audit(),
            Act::Identify => rules.identify(),
            _ => {}
        }
    }
    rules.one_pole_at_a_time();
    rules.poles_to_case();
    let mut ruling = rules.ruling;
    ruling
        .fails
        .extend(watch::too_short(frame, progress, slot, entry));
    ruling
}

struct Rules<'a> {
    frame: &'a Frame,
    progress: &'a Progress,
    step: &'a Step,
    slot: Slot,
    entry: &'a Entry,
    ruling: Ruling,
}

impl<'a> Rules<'a> {
    fn fail(&mut self, reason: Reason) {
        self.ruling.fails.push(reason);
    }

    fn what(&self, thing: &str) -> String {
        format!("{}, {thing}", self.step.id)
    }

    fn evidence(&self) -> &'a Evidence {
        &self.entry.evidence
    }

    fn act_evidence(&self, act: Act) -> Option<&'a Evidence> {
        self.progress
            .passed_doing(self.frame, act, self.slot)
            .last()
            .map(|entry| &entry.evidence)
    }

    /// C09: an explicit yes or no for every kind of source, and nothing the plan knows missing.
    fn sources(&mut self) {
        let rows = self.evidence().rows("sources");
        if rows.is_empty() {
            return;
        }
        for kind in SourceKind::ALL {
            let of_kind: Vec<_> = rows
                .iter()
                .filter(|row| row.text("kind") == Some(kind.name()))
                .collect();
            if of_kind.is_empty() {
                self.fail(
                    Reason::new(
                        self.what("sources"),
                        format!("{}: no answer", words(kind.name())),
                    )
                    .limit("an explicit yes or no for every kind of source")
                    .clause("NFPA 70E-2018, 120.5(1): find all sources (second-hand)")
                    .way_out("look for it and say yes or no"),
                );
            }
            let planned = self
                .frame
                .installation
                .sources
                .iter()
                .filter(|source| source.kind == kind);
            for source in planned {
                let found = of_kind.iter().any(|row| {
                    row.yes_no("present") == Some(true)
                        && row.text("device") == Some(source.isolating_device.as_str())
                });
                if !found {
                    self.fail(
                        Reason::new(
                            self.what("sources"),
                            format!(
                                "{} behind {} is not in the answer",
                                source.id, source.isolating_device
                            ),
                        )
                        .limit("every source of the plan, with its isolating device")
                        .clause("29 CFR 1910.147(d)(1)")
                        .way_out("find it, or have the plan put right before work goes on"),
                    );
                }
            }
            for row in of_kind
                .iter()
                .filter(|row| row.yes_no("present") == Some(true))
            {
                let device = row.text("device").unwrap_or("");
                if !self
                    .frame
                    .installation
                    .isolating_devices
                    .iter()
                    .any(|one| one.id == device)
                {
                    self.fail(
                        Reason::new(self.what("sources"), format!("{}: device `{device}` is not on the plan", words(kind.name())))
                            .limit("an isolating device of the plan for every source that is there")
                            .clause("29 CFR 1910.333(b)(2)(ii)(B), read in the parallel text WAC 296-307-37807")
                            .way_out("an unexplained source stops the job: put the plan right first"),
                    );
                }
            }
        }
    }

    /// C13 to C15, R01: each device is one of the plan.
    fn isolating_devices(&mut self) {
        for row in self.evidence().rows("devices") {
            let device = row.text("device").unwrap_or("");
            if !self
                .frame
                .installation
                .isolating_devices
                .iter()
                .any(|one| one.id == device)
            {
                let known = self
                    .frame
                    .installation
                    .isolating_devices
                    .iter()
                    .map(|one| one.id.as_str());
                let near = super::answers::nearest(device, known);
                self.fail(
                    Reason::new(
                        self.what("devices"),
                        format!("`{device}` is not on the plan"),
                    )
                    .limit("an isolating device of the plan")
                    .way_out(near.map_or_else(
                        || "put the plan right first".to_owned(),
                        |near| format!("did you mean `{near}`?"),
                    )),
                );
            }
        }
    }

    /// Devices that were opened so far, with the time.
    fn opened(&self) -> BTreeMap<&'a str, Moment> {
        self.progress
            .passed_doing(self.frame, Act::Isolate, None)
            .chain(self.step.does_act(Act::Isolate).then_some(self.entry))
            .flat_map(|entry| entry.evidence.rows("devices"))
            .filter_map(|row| Some((row.text("device")?, row.time("opened_at")?)))
            .collect()
    }

    /// Devices that must be open and locked: those of the plan's sources and of the sources found.
    fn devices_in_play(&self) -> BTreeSet<&'a str> {
        let found = self
            .progress
            .passed_doing(self.frame, Act::FindSources, None)
            .flat_map(|entry| entry.evidence.rows("sources"))
            .filter(|row| row.yes_no("present") == Some(true))
            .filter_map(|row| row.text("device"));
        let planned = self
            .frame
            .installation
            .sources
            .iter()
            .map(|s| s.isolating_device.as_str());
        planned.chain(found).collect()
    }

    /// C17: lock and tag on every device, own lock, own tag; the narrow exceptions with what they
    /// demand. 29 CFR 1910.333(b)(2)(iii) as read in WAC 296-307-37811.
    fn locks(&mut self) {
        const CLAUSE: &str =
            "29 CFR 1910.333(b)(2)(iii), read in the parallel text WAC 296-307-37811";
        let rows = self.evidence().rows("locks");
        let opened = self.opened();
        let devices = self.devices_in_play();
        for device in &devices {
            if !opened.contains_key(device) {
                self.fail(
                    Reason::new(self.what("locks"), format!("{device} was not opened"))
                        .limit("every device of every source open before it is locked")
                        .clause("29 CFR 1910.333(b)(2)(ii)(B), read in WAC 296-307-37807")
                        .way_out("open it, then lock it"),
                );
            }
            let row = rows.iter().find(|row| row.text("device") == Some(device));
            let Some(row) = row else {
                self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("{device} has no lock and no tag"),
                    )
                    .limit("lock and tag on every isolating device")
                    .clause(CLAUSE)
                    .way_out("lock and tag it; where no lock goes on, add one extra measure"),
                );
                continue;
            };
            let (lock, tag) = (row.text("lock_number"), row.text("tag_number"));
            let extra = row.text("extra_measure");
            let lockable = self
                .frame
                .installation
                .isolating_devices
                .iter()
                .any(|one| one.id == *device && one.lockable);
            match (lock, tag) {
                (Some(_), Some(_)) => {}
                (None, Some(_)) if lockable => self.fail(
                    Reason::new(self.what("locks"), format!("{device}: tag without lock"))
                        .limit("a device that takes a lock gets one")
                        .clause(CLAUSE)
                        .way_out("put the lock on"),
                ),
                (None, Some(_)) if extra.is_none() => self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("{device}: tag only, no extra measure"),
                    )
                    .limit(
                        "tag alone only with one extra measure, such as a fuse or link taken out",
                    )
                    .clause(CLAUSE)
                    .way_out("take the extra measure and write it down"),
                ),
                (Some(_), None) if devices.len() > 1 => self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("{device}: lock without tag, {} circuits", devices.len()),
                    )
                    .limit("a lock alone only for one circuit, within one shift, known to the crew")
                    .clause(CLAUSE)
                    .way_out("put the tag on"),
                ),
                (None, None) => self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("{device}: neither lock nor tag"),
                    )
                    .limit("lock and tag")
                    .clause(CLAUSE)
                    .way_out(
                        "lock and tag it; where no lock goes on, tag it and add one extra measure",
                    ),
                ),
                _ => {}
            }
            self.fitted_after_opening(row, device, opened.get(device).copied());
        }
        self.no_number_twice(&rows, "lock_number");
    }

    fn fitted_after_opening(&mut self, row: &Evidence, device: &str, opened: Option<Moment>) {
        if let (Some(fitted), Some(opened)) = (row.time("fitted_at"), opened)
            && fitted < opened
        {
            self.fail(
                Reason::new(
                    self.what("locks"),
                    format!(
                        "{device} locked {} before it was opened {}",
                        fitted.wall_clock(),
                        opened.wall_clock()
                    ),
                )
                .limit("opened first, then locked")
                .clause("29 CFR 1910.147(d)(3), (4)")
                .way_out("look at the device again and write down the true times"),
            );
        }
    }

    fn no_number_twice(&mut self, rows: &[&Evidence], name: &str) {
        let mut seen = BTreeSet::new();
        for number in rows.iter().filter_map(|row| row.text(name)) {
            if !seen.insert(number) {
                self.fail(
                    Reason::new(self.what(name), format!("{number} stands twice"))
                        .limit("one lock, one device")
                        .clause("rule of the trade: own lock, own key (common practice, no source)")
                        .way_out("read the numbers again"),
                );
            }
        }
    }

    /// C19: from the later of the last opening and the try-start, at least the label's time, the
    /// computed time, or 300 s where there is neither. A floor for the wait, never proof.
    fn wait(&mut self) {
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
        let required = required_wait_s(self.frame);
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
    fn tester(&mut self, before: bool) {
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
        let readings: Vec<Decimal> = ["voltage_ac_v", "voltage_dc_v"]
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
        let dc_in_play = self
            .frame
            .installation
            .sources
            .iter()
            .any(|s| s.supply == Supply::Dc);
        if dc_in_play && evidence.number("voltage_dc_v").is_none() {
            self.fail(
                Reason::new(self.what("voltage_dc_v"), "no reading on direct voltage")
                    .limit("a tester is proved on dc for dc work")
                    .clause("rule 3.6 of the procedure")
                    .way_out("prove it on a dc source"),
            );
        }
        self.tester_rating();
        if !before {
            self.same_tester_and_window();
        }
    }

    fn tester_rating(&mut self) {
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
        // Rated for 1.2 times the highest direct voltage (project default).
        let needed = highest.saturating_add(highest / 5);
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
                    "{} V dc, 1.2 times the highest direct voltage",
                    Decimal::from_thousandths(needed)
                ))
                .clause("rule 3.6 of the procedure (project default, not law)")
                .way_out("use a tester that is rated for this installation"),
            );
        }
    }

    fn same_tester_and_window(&mut self) {
        let before = self
            .progress
            .passed_doing(self.frame, Act::ProveTesterBefore, None)
            .last();
        // In a step that holds the whole trio, both proofs are in its own evidence.
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
        let minutes = self.frame.whole_setting("proof_window_min");
        let gap = self.entry.at.seconds_since(before.at);
        if gap > minutes * 60 {
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
        if !self.ruling.fails.is_empty() {
            let why = format!("the tester proof after it failed ({})", self.step.id);
            self.ruling
                .voids
                .push((Act::ProveTesterBefore, why.clone()));
            self.ruling.voids.push((Act::TestDead, why));
        }
    }

    /// C21: every pair at the place of work, each within the limit, with the tester just proved.
    fn dead_test(&mut self) {
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
                            "begin again at C18: try-start, wait longer (C19), prove the tester, test; never put it down to ghost voltage"
                        }),
                );
            }
        }
        for pair in self.pairs_wanted() {
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
            self.ruling.breaks_dead_proof = Some(worst);
        }
    }

    /// The pairs that the sources demand.
    fn pairs_wanted(&self) -> Vec<(&'static str, &'static str)> {
        const SINGLE: [&str; 3] = ["L-N", "L-PE", "N-PE"];
        const THREE: [&str; 10] = [
            "L1-L2", "L1-L3", "L2-L3", "L1-N", "L2-N", "L3-N", "L1-PE", "L2-PE", "L3-PE", "N-PE",
        ];
        const DC: [&str; 3] = ["DC+/DC-", "DC+/PE", "DC-/PE"];
        let has = |supply| {
            self.frame
                .installation
                .sources
                .iter()
                .any(|s| s.supply == supply)
        };
        let mut pairs = Vec::new();
        if has(Supply::Ac) {
            let ac: &[&'static str] = if self.frame.installation.ac_phases == 3 {
                &THREE
            } else {
                &SINGLE
            };
            pairs.extend(ac.iter().map(|pair| (*pair, "ac")));
        }
        if has(Supply::Dc) {
            pairs.extend(DC.map(|pair| (pair, "dc")));
        }
        pairs
    }

    /// C23: never on a node that has a battery.
    fn bond(&mut self) {
        let nodes = self.evidence().rows("nodes");
        if self.evidence().yes_no("provided") == Some(true) && nodes.is_empty() {
            self.fail(
                Reason::new(self.what("nodes"), "none named")
                    .limit("each bond point, with whether a battery is on it")
                    .way_out("name the nodes that were bonded"),
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
    fn cover(&mut self) {
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
    fn release(&mut self) {
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

    /// A05, B08, R06, R07: every group that is left, below the limit.
    fn split(&mut self) {
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

    /// M09: two people or an aid above 23 kg; an unknown mass counts as heavy.
    fn lift(&mut self) {
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
    fn judge(&mut self) {
        let Some(module) = self.slot else { return };
        let judged = self
            .evidence()
            .text("soundness")
            .and_then(|word| serde_json::from_value::<Soundness>(word.into()).ok());
        let Some(judged) = judged else { return };
        let mut codes = self.progress.findings(Some(module));
        let reasons = self.evidence().texts("reasons");
        codes.extend(
            reasons
                .iter()
                .flat_map(|text| text.split([',', ' ']))
                .filter(|c| !c.is_empty() && !c.eq_ignore_ascii_case("none")),
        );
        let least = inspection::soundness_of(&codes);
        let officer = gate::is_officer(self.frame, &self.entry.by, self.entry.at);
        if judged < least && !officer {
            self.fail(
                Reason::new(self.what("soundness"), judged.word())
                    .limit(format!("{least} or worse, by the findings {}", codes.join(", ")))
                    .clause("ADR 2025, SP 376 (read in an unofficial translation); rule G14 of the procedure")
                    .way_out("in doubt it goes up; only the compliance officer may judge it better, with the reason"),
            );
        }
        if let Some(before) = self.progress.soundness(module)
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
                .way_out("only the compliance officer may judge it better, with the reason"),
            );
        }
    }

    /// M01: one serial, one module.
    fn identify(&mut self) {
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
    fn count(&mut self) {
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

    /// Z03: each holder takes off the own lock; an absent holder's only with all three facts.
    fn remove_locks(&mut self) {
        const CLAUSE: &str =
            "29 CFR 1910.333(b)(2)(v), read in WAC 296-307-37817; 29 CFR 1910.147(e)(3)";
        let fitted: Vec<&Evidence> = self
            .progress
            .passed_doing(self.frame, Act::Lock, None)
            .flat_map(|entry| entry.evidence.rows("locks"))
            .filter(|row| row.text("lock_number").is_some())
            .collect();
        let rows = self.evidence().rows("locks");
        for lock in &fitted {
            let number = lock.text("lock_number").unwrap_or("");
            let Some(row) = rows
                .iter()
                .find(|row| row.text("lock_number") == Some(number))
            else {
                self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("lock {number} is not accounted for"),
                    )
                    .limit("locks put on = locks taken off")
                    .clause(CLAUSE)
                    .way_out("find the lock and its holder"),
                );
                continue;
            };
            let holder = lock.text("holder");
            if row.text("removed_by") == holder {
                continue;
            }
            let facts = [
                (
                    "holder_not_on_site",
                    row.yes_no("holder_not_on_site") == Some(true),
                ),
                ("effort_to_tell", row.text("effort_to_tell").is_some()),
                (
                    "told_before_resuming",
                    row.text("told_before_resuming").is_some(),
                ),
            ];
            let missing: Vec<_> = facts
                .iter()
                .filter(|(_, there)| !there)
                .map(|(name, _)| *name)
                .collect();
            if !missing.is_empty() {
                self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("lock {number} of {} taken off by {}", holder.unwrap_or("nobody"), row.text("removed_by").unwrap_or("nobody")),
                    )
                    .limit(format!("the holder, or all three facts of the absent-holder route; missing: {}", missing.join(", ")))
                    .clause(CLAUSE)
                    .way_out("the holder takes it off; else the employer's absent-holder route, all three facts"),
                );
            }
        }
    }

    /// Z13: not by the person who tested dead.
    fn audit(&mut self) {
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

    /// M05: a pole that stays above the limit to the case, without the two-reading test, counts as
    /// failed insulation (F26).
    fn poles_to_case(&mut self) {
        let limit = self.frame.setting("pole_to_case_v");
        let above = ["positive_to_case_v", "negative_to_case_v"]
            .into_iter()
            .any(|name| {
                self.evidence()
                    .number(name)
                    .is_some_and(|v| v.magnitude() > limit)
            });
        if above && self.evidence().number("insulation_ohm_per_v").is_none() {
            self.ruling.findings.push("F26".into());
        }
    }

    /// One pole exposed at a time: the first is covered before the second opens (rule G6).
    fn one_pole_at_a_time(&mut self) {
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
}

/// The wait that is required, and what it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RequiredWait {
    /// Seconds.
    pub seconds: i64,
    /// What decided.
    pub from: String,
}

/// The greatest of the label's time and the computed time; 300 s where there is neither.
///
/// Capacitors that cannot be computed count as if nothing were known.
#[must_use]
pub fn required_wait_s(frame: &Frame) -> RequiredWait {
    let label = frame.installation.stored_energy_label_s.map(i64::from);
    // Down to 60 V dc, the touch limit (IEC 60204-1, 6.2.4, second-hand).
    let computed = frame
        .installation
        .capacitors
        .as_ref()
        .and_then(|capacitors| capacitors.stored_energy_to(60.0).ok())
        .map(|stored| stored.whole_seconds());
    match (label, computed) {
        (Some(label), Some(computed)) if computed > label => RequiredWait {
            seconds: computed,
            from: format!("computed to 60 V, tolerances included; the label says {label} s"),
        },
        (Some(label), _) => RequiredWait {
            seconds: label,
            from: "the label".into(),
        },
        (None, Some(computed)) => RequiredWait {
            seconds: computed,
            from: "computed to 60 V, tolerances included".into(),
        },
        (None, None) => RequiredWait {
            seconds: frame.whole_setting("stored_energy_default_s"),
            from: "no label and no figures: project default".into(),
        },
    }
}

fn words(name: &str) -> String {
    name.replace('_', " ")
}
