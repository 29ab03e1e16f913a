//! The form of the tables of words, continued: papers of a place that receives.

use serde::Serialize;

/// Sentences of the receipt of a load.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct ReceiptWords {
    pub(crate) title: &'static str,
    pub(crate) heading: &'static str,
    pub(crate) open: &'static str,
    pub(crate) open_mark: &'static str,
    pub(crate) refused: &'static str,
    pub(crate) counted: &'static str,
    pub(crate) unannounced: &'static str,
    pub(crate) begun: &'static str,
    pub(crate) ended: &'static str,
    pub(crate) brought_by: &'static str,
    pub(crate) vehicle: &'static str,
    pub(crate) stated_in: &'static str,
    pub(crate) load: &'static str,
    pub(crate) differences: &'static str,
    pub(crate) no_differences: &'static str,
    pub(crate) what: &'static str,
    pub(crate) stated: &'static str,
    pub(crate) found: &'static str,
    pub(crate) settle_by: &'static str,
    pub(crate) settled: &'static str,
    pub(crate) as_stated: &'static str,
    pub(crate) how: &'static str,
    pub(crate) held: &'static str,
    pub(crate) not_looked_at: &'static str,
    pub(crate) nothing_left: &'static str,
    pub(crate) hidden: &'static str,
    pub(crate) receiver: &'static str,
    pub(crate) bringer: &'static str,
}

/// The sheet for the fire service. Each warning is a reminder: the officer in charge decides.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct FireWords {
    pub(crate) fire_service: &'static str,
    pub(crate) title: &'static str,
    pub(crate) from_register: &'static str,
    pub(crate) as_of: &'static str,
    pub(crate) invented: &'static str,
    pub(crate) call: &'static str,
    pub(crate) no_telephone: &'static str,
    pub(crate) nobody_answers: &'static str,
    pub(crate) in_all: &'static str,
    pub(crate) place: &'static str,
    pub(crate) what: &'static str,
    pub(crate) how_much: &'static str,
    pub(crate) one_module: &'static str,
    pub(crate) modules: &'static str,
    pub(crate) chemistry: &'static str,
    pub(crate) chemistry_not_known: &'static str,
    pub(crate) energy_left_out: &'static str,
    pub(crate) mass_left_out: &'static str,
    pub(crate) energy_not_known: &'static str,
    pub(crate) mass_not_known: &'static str,
    pub(crate) chemistry_of: &'static str,
    pub(crate) not_in_a_bay: &'static str,
    pub(crate) held: &'static str,
    pub(crate) read_at: &'static str,
    pub(crate) not_read: &'static str,
    pub(crate) distances: &'static str,
    pub(crate) distances_not_stated: &'static str,
    pub(crate) no_battery: &'static str,
    pub(crate) empty: &'static str,
    pub(crate) not_known: &'static str,
    pub(crate) keep_it: &'static str,
    pub(crate) officer_decides: &'static str,
    /// What the three drawings are.
    pub(crate) drawn: [&'static str; 3],
    /// What is said, and where it is known from.
    pub(crate) warnings: [[&'static str; 2]; 5],
}

/// The tag on a module in the hold.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct HoldWords {
    pub(crate) title: &'static str,
    pub(crate) hold: &'static str,
    pub(crate) why: &'static str,
    pub(crate) condition: &'static str,
    pub(crate) seen: &'static str,
    pub(crate) nothing_listed: &'static str,
    pub(crate) bay: &'static str,
    pub(crate) no_bay: &'static str,
    pub(crate) since: &'static str,
    pub(crate) last_read: &'static str,
    pub(crate) not_yet: &'static str,
    pub(crate) read_next: &'static str,
    pub(crate) none_due: &'static str,
    pub(crate) not_before: &'static str,
    pub(crate) may_clear: &'static str,
    pub(crate) officer: &'static str,
    pub(crate) nobody: &'static str,
    pub(crate) printed: &'static str,
    pub(crate) invented: &'static str,
    pub(crate) rules: [&'static str; 2],
}
