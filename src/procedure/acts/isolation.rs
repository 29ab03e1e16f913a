//! Sources found, devices opened, locks and tags on and off.

use std::collections::{BTreeMap, BTreeSet};

use super::ruling::Rules;
use crate::battery::SourceKind;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::procedure::answers::nearest;
use crate::procedure::{Act, Evidence};

impl<'a> Rules<'a> {
    /// C09: an explicit yes or no for every kind of source, and nothing the plan knows missing.
    pub(super) fn sources(&mut self) {
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
                        format!("{}: no answer", kind.name().replace('_', " ")),
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
                if self.frame.installation.isolating_device(device).is_none() {
                    self.fail(
                        Reason::new(self.what("sources"), format!("{}: device `{device}` is not on the plan", kind.name().replace('_', " ")))
                            .limit("an isolating device of the plan for every source that is there")
                            .clause("29 CFR 1910.333(b)(2)(ii)(B), read in the parallel text WAC 296-307-37807")
                            .way_out("an unexplained source stops the job: put the plan right first"),
                    );
                }
            }
        }
    }

    /// C13 to C15, R01: each device is one of the plan.
    pub(super) fn isolating_devices(&mut self) {
        let stopped = self
            .progress
            .passed_doing(self.frame, Act::StopCurrent, None)
            .map(|entry| entry.at)
            .max();
        for row in self.evidence().rows("devices") {
            let device = row.text("device").unwrap_or("");
            let load_break = self
                .frame
                .installation
                .isolating_device(device)
                .is_some_and(|one| one.load_break);
            if let (Some(opened), Some(stopped), false) =
                (row.time("opened_at"), stopped, load_break)
                && opened < stopped
            {
                self.fail(
                    Reason::new(
                        self.what(device),
                        format!(
                            "opened {} before the current was gone {}",
                            opened.wall_clock(),
                            stopped.wall_clock()
                        ),
                    )
                    .limit("opened without current, unless it is made to break load")
                    .clause("rule G5 of the procedure")
                    .way_out("look the device over for damage by the arc and open it in order"),
                );
            }
            if self.frame.installation.isolating_device(device).is_none() {
                let known = self
                    .frame
                    .installation
                    .isolating_devices
                    .iter()
                    .map(|one| one.id.as_str());
                let near = nearest(device, known);
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

    /// Devices that were opened so far, each with the last time.
    pub(super) fn opened(&self) -> BTreeMap<&'a str, Moment> {
        self.progress
            .passed_doing(self.frame, Act::Isolate, None)
            .chain(self.step.does_act(Act::Isolate).then_some(self.entry))
            .flat_map(|entry| entry.evidence.rows("devices"))
            .filter_map(|row| Some((row.text("device")?, row.time("opened_at")?)))
            .fold(BTreeMap::new(), |mut opened, (device, at)| {
                let last = opened.entry(device).or_insert(at);
                *last = at.max(*last);
                opened
            })
    }

    /// Devices that must be open and locked: those of the plan's sources and of the sources found.
    pub(super) fn devices_in_play(&self) -> BTreeSet<&'a str> {
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
    pub(super) fn locks(&mut self) {
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
                .isolating_device(device)
                .is_some_and(|one| one.lockable);
            match (lock, tag) {
                (_, Some(_)) if row.text("tag_wording").is_none() => self.fail(
                    Reason::new(self.what("locks"), format!("{device}: tag without words"))
                        .limit("what the tag says, against switching on and against taking it off")
                        .clause(CLAUSE)
                        .way_out("read the tag and write down its words"),
                ),
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
            if self.break_was_not_seen(device) && extra.is_none() {
                self.fail(
                    Reason::new(
                        self.what("locks"),
                        format!("{device}: its break was not seen, and no extra measure"),
                    )
                    .limit("a break that cannot be seen gets one extra isolating measure")
                    .clause("rule C16 of the procedure; NFPA 70E-2018, 120.5(3) (second-hand)")
                    .way_out("draw a fuse or link, or open a second device, and write it down"),
                );
            }
        }
        self.no_number_twice(&rows, "lock_number");
    }

    /// C16: a break that was not seen says why it could not be.
    pub(super) fn breaks_not_seen(&mut self) {
        for row in self.evidence().rows("breaks") {
            if row.yes_no("seen") == Some(false) && row.text("reason_not_seen").is_none() {
                let device = row.text("device").unwrap_or("a device");
                self.fail(
                    Reason::new(self.what(device), "break not seen, no reason given")
                        .limit("open blades or a drawn-out part, or why they cannot be seen")
                        .clause("step C16 of the procedure; NFPA 70E-2018, 120.5(3) (second-hand)")
                        .way_out("say why; it then needs one more isolating measure (C17)"),
                );
            }
        }
    }

    fn break_was_not_seen(&self, device: &str) -> bool {
        self.progress
            .passed_doing(self.frame, Act::SeeBreak, None)
            .flat_map(|entry| entry.evidence.rows("breaks"))
            .any(|row| row.text("device") == Some(device) && row.yes_no("seen") == Some(false))
    }

    pub(super) fn fitted_after_opening(
        &mut self,
        row: &Evidence,
        device: &str,
        opened: Option<Moment>,
    ) {
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

    pub(super) fn no_number_twice(&mut self, rows: &[&Evidence], name: &str) {
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

    /// Z03: each holder takes off the own lock; an absent holder's only with all three facts.
    pub(super) fn remove_locks(&mut self) {
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
}
