//! What the findings make of a module, and what follows from that before anything is done to it.

use super::finding::{finding, soundness_of};
use crate::battery::Soundness;
use crate::citation::Reason;

/// Findings that shut out any discharge of the module (chosen here): heat, smell, leaks, damage,
/// water, a cell outside its limits, no voltage, weak insulation, an electronic internal fault.
pub const NEVER_DISCHARGE: [&str; 15] = [
    "F07", "F08", "F09", "F10", "F11", "F12", "F14", "F15", "F16", "F18", "F19", "F20", "F21",
    "F26", "F27",
];

/// What the findings make of a module.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Triage {
    /// Soundness: as judged, and never better than the findings allow.
    pub soundness: Soundness,
    /// Findings that send it to quarantine, in order of code; a code that the catalogue does not
    /// have is one of them.
    pub quarantine_for: Vec<String>,
    /// First act of each finding, in order of code.
    pub first_acts: Vec<String>,
    /// Findings at which the work stops and everybody leaves.
    pub red_flags: Vec<String>,
    /// Why it may not be discharged; empty where the findings do not shut it out. Absence of a
    /// reason is no permission: the plan of the discharge has limits of its own.
    pub no_discharge: Vec<Reason>,
}

impl Triage {
    /// Whether it goes to quarantine: a finding says so, or it is damaged in law.
    #[must_use]
    pub fn goes_to_quarantine(&self) -> bool {
        !self.quarantine_for.is_empty() || self.soundness.is_damaged_in_law()
    }
}

/// What `findings` make of a module that was judged `judged`; a module that nobody judged is
/// undiagnosed.
#[must_use]
pub fn triage(judged: Option<Soundness>, findings: &[&str]) -> Triage {
    let mut codes: Vec<&str> = findings.to_vec();
    codes.sort_unstable();
    codes.dedup();
    let soundness = judged
        .unwrap_or(Soundness::Undiagnosed)
        .max(soundness_of(&codes));
    let mut triage = Triage {
        soundness,
        quarantine_for: Vec::new(),
        first_acts: Vec::new(),
        red_flags: Vec::new(),
        no_discharge: Vec::new(),
    };
    for code in &codes {
        let Ok(known) = finding(code) else {
            triage.quarantine_for.push((*code).to_owned());
            continue;
        };
        if known.quarantine {
            triage.quarantine_for.push(known.code.clone());
        }
        if known.is_red_flag() {
            triage.red_flags.push(known.code.clone());
        }
        if !known.first_act.is_empty() {
            triage
                .first_acts
                .push(format!("{}: {}", known.code, known.first_act));
        }
        if NEVER_DISCHARGE.contains(code) {
            triage.no_discharge.push(no_discharge(
                known.code.as_str(),
                &format!("{}: {}", known.code, known.words),
            ));
        }
    }
    if soundness == Soundness::Critical {
        triage
            .no_discharge
            .push(no_discharge("soundness", soundness.word()));
    }
    triage
}

fn no_discharge(what: &str, value: &str) -> Reason {
    Reason::new(format!("discharge, {what}"), value)
        .limit("no finding that shuts it out")
        .clause("list of this project (project default, not law)")
        .way_out("leave the charge in it: treat it as full, and let a specialist decide")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_judged_means_undiagnosed_and_findings_only_go_up() {
        assert_eq!(triage(None, &[]).soundness, Soundness::Undiagnosed);
        let sound = triage(Some(Soundness::Sound), &[]);
        assert!(!sound.goes_to_quarantine() && sound.no_discharge.is_empty());
        let swollen = triage(Some(Soundness::Sound), &["F10"]);
        assert_eq!(swollen.soundness, Soundness::Damaged);
        assert_eq!(swollen.quarantine_for, ["F10"]);
        assert_eq!(swollen.no_discharge.len(), 1);
    }

    #[test]
    fn every_code_of_the_discharge_list_is_in_the_catalogue() {
        for code in NEVER_DISCHARGE {
            assert!(finding(code).is_ok(), "{code}");
        }
        let critical = triage(Some(Soundness::Critical), &[]);
        assert_eq!(critical.no_discharge.len(), 1);
    }

    #[test]
    fn an_unknown_code_goes_to_quarantine() {
        let odd = triage(Some(Soundness::Sound), &["F99", "F17"]);
        assert_eq!(odd.quarantine_for, ["F99"]);
        assert!(odd.soundness.is_damaged_in_law());
    }
}
