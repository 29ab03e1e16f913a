//! Looks at one entry against the frame and the progress, act by act, and says why it does not
//! pass.

use super::watch;
use crate::citation::Reason;
use crate::inspection::finding;
use crate::procedure::frame::{Frame, Slot};
use crate::procedure::progress::Progress;
use crate::procedure::{Act, Entry, Evidence, People, Step};

/// What the act rules say of an entry.
#[derive(Debug, Default)]
pub(in crate::procedure) struct Ruling {
    /// Why the step does not pass.
    pub(in crate::procedure) fails: Vec<Reason>,
    /// Why the entry may not stand at all.
    pub(in crate::procedure) refusals: Vec<Reason>,
    /// Acts whose steps are void because of it.
    pub(in crate::procedure) voids: Vec<(Act, String)>,
    /// A voltage that shows the dead side is not dead.
    pub(in crate::procedure) breaks_dead_proof: Option<String>,
    /// Cautions that follow; they stop nothing.
    pub(in crate::procedure) notes: Vec<String>,
    /// Findings that follow.
    pub(in crate::procedure) findings: Vec<String>,
}

impl Ruling {
    /// The first of its findings that stops the whole job, in words.
    pub(in crate::procedure) fn red_flag(&self) -> Option<String> {
        self.findings
            .iter()
            .filter_map(|code| finding(code).ok())
            .find(|finding| finding.is_red_flag())
            .map(|finding| format!("{} {}", finding.code, finding.words))
    }
}

/// Looks at every act of the step, in order.
pub(in crate::procedure) fn rule(
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
            Act::Isolate => {
                rules.isolating_devices();
                rules.load_side_still_up();
            }
            Act::Lock => rules.locks(),
            Act::WaitStoredEnergy => rules.wait(),
            Act::ProveTesterBefore => rules.tester(true),
            Act::TestDead => rules.dead_test(),
            Act::ProveTesterAfter => rules.tester(false),
            Act::Bond => rules.bond(),
            Act::CoverLive => rules.cover(),
            Act::ReleaseWork => rules.release(),
            Act::Split => {
                rules.split();
                rules.links();
            }
            Act::LiftModule if step.people != People::TwoIfHeavy => rules.lift(),
            Act::SeeBreak => rules.breaks_not_seen(),
            Act::Judge => rules.judge(),
            Act::Count => rules.count(),
            Act::RemoveLocks => rules.remove_locks(),
            Act::Audit => rules.audit(),
            Act::Identify => {
                rules.identify();
                rules.serial_of_the_plan();
            }
            Act::EnterOnManifest => rules.weighed_whole(),
            Act::Watch => rules.watch(),
            Act::Return => rules.way_back(),
            Act::Release => rules.packages_handed_over(),
            _ => {}
        }
    }
    rules.one_pole_at_a_time();
    rules.poles_to_case();
    rules.poles_to_frame();
    rules.terminal_voltage();
    rules.cells();
    rules.no_such_voltage();
    rules.as_planned();
    rules.both_poles();
    rules.second_proof();
    rules.near_what_burns();
    if step.people == People::TwoIfHeavy {
        rules.lift();
    }
    if step.is_touching() {
        rules.nothing_before_the_release();
    }
    let mut ruling = rules.ruling;
    ruling
        .fails
        .extend(watch::too_short(frame, progress, slot, entry));
    ruling.findings.extend(watch::warms(entry));
    ruling
}

pub(super) struct Rules<'a> {
    pub(super) frame: &'a Frame,
    pub(super) progress: &'a Progress,
    pub(super) step: &'a Step,
    pub(super) slot: Slot,
    pub(super) entry: &'a Entry,
    pub(super) ruling: Ruling,
}

impl<'a> Rules<'a> {
    pub(super) fn fail(&mut self, reason: Reason) {
        self.ruling.fails.push(reason);
    }

    pub(super) fn what(&self, thing: &str) -> String {
        let step = self.frame.name_of_step(&self.step.id, self.slot);
        format!("{step}, {thing}")
    }

    pub(super) fn evidence(&self) -> &'a Evidence {
        &self.entry.evidence
    }

    pub(super) fn act_evidence(&self, act: Act) -> Option<&'a Evidence> {
        self.progress
            .passed_doing(self.frame, act, self.slot)
            .last()
            .map(|entry| &entry.evidence)
    }
}
