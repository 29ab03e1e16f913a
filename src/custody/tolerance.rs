//! The project's own numbers for receiving and holding: what differs and what does not yet.

use crate::procedure::Settings;
use crate::units::Decimal;

/// Numbers of a site, each with who answers for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tolerances {
    /// Share of the stated mass, per cent.
    pub mass_off_percent: Owned,
    /// Difference of mass that is never counted, kg.
    pub mass_off_kg: Owned,
    /// Rise from which a thing is hotter than sent, K.
    pub hotter_k: Owned,
    /// Days to settle a discrepancy.
    pub discrepancy_days: Owned,
    /// Days before the end of a stay from which it is shown.
    pub stay_warning_days: Owned,
    /// Quiet hours, suspect.
    pub hold_hours: Owned,
    /// Quiet hours, damaged.
    pub hold_hours_damaged: Owned,
    /// Rise over the air in the hold that is an event, K.
    pub hold_rise_k: Owned,
}

/// A number and who answers for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Owned {
    /// Value.
    pub value: Decimal,
    /// `setting NAME, project default, not law; owner: ...`.
    pub basis: String,
}

impl Tolerances {
    /// From settings. A missing one, which a test would find, is the strictest: zero.
    #[must_use]
    pub fn from(settings: &Settings) -> Self {
        let take = |name: &str| match settings.get(name) {
            Some(setting) => Owned {
                value: setting.value,
                basis: format!(
                    "setting {name}, project default, not law; owner: {}",
                    setting.owner
                ),
            },
            None => Owned {
                value: Decimal::whole(0),
                basis: format!("setting {name} is missing"),
            },
        };
        Self {
            mass_off_percent: take("receipt_mass_off_percent"),
            mass_off_kg: take("receipt_mass_off_kg"),
            hotter_k: take("receipt_hotter_k"),
            discrepancy_days: take("discrepancy_days"),
            stay_warning_days: take("stay_warning_days"),
            hold_hours: take("hold_hours"),
            hold_hours_damaged: take("hold_hours_damaged"),
            hold_rise_k: take("hold_rise_k"),
        }
    }
}

impl Owned {
    /// The value in whole thousandths; finer figures count as none, which is stricter.
    #[must_use]
    pub fn thousandths(&self) -> i64 {
        self.value.thousandths().unwrap_or(0)
    }

    /// The value as a whole number; a fraction counts as none.
    #[must_use]
    pub fn whole(&self) -> u32 {
        self.value
            .as_whole()
            .and_then(|whole| u32::try_from(whole).ok())
            .unwrap_or(0)
    }
}
