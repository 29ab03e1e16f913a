//! The editions whose text is encoded, the days on which each may be used, and how its transport
//! document writes the line. A day or a mode without an edition is never guessed.

use chrono::NaiveDate;

use crate::transport::facts::{Mode, Regime};

/// A dated text whose rules are encoded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edition {
    /// ADR 2025.
    Adr2025,
    /// 49 CFR, text of December 2022.
    Cfr49Of2022,
}

/// A calendar day in a constant; `NaiveDate::MIN` for one that does not exist, which a test of the
/// whole table refuses.
pub(crate) const fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    match NaiveDate::from_ymd_opt(year, month, day) {
        Some(day) => day,
        None => NaiveDate::MIN,
    }
}

impl Edition {
    /// Every edition, the newest of a regime first.
    pub const ALL: [Self; 2] = [Self::Adr2025, Self::Cfr49Of2022];

    /// The name on papers.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Adr2025 => "ADR 2025",
            Self::Cfr49Of2022 => "49 CFR (text of Dec 2022)",
        }
    }

    /// The document, as its regulator names it.
    #[must_use]
    pub const fn document(self) -> &'static str {
        match self {
            Self::Adr2025 => "ADR",
            Self::Cfr49Of2022 => "49 CFR",
        }
    }

    /// The edition or the date of the text, without the document's name.
    #[must_use]
    pub const fn dated(self) -> &'static str {
        match self {
            Self::Adr2025 => "2025",
            Self::Cfr49Of2022 => "text of Dec 2022",
        }
    }

    /// The regime it belongs to.
    #[must_use]
    pub const fn regime(self) -> Regime {
        match self {
            Self::Adr2025 => Regime::Adr,
            Self::Cfr49Of2022 => Regime::Cfr49,
        }
    }

    /// The modes whose rows are encoded.
    #[must_use]
    pub const fn modes(self) -> &'static [Mode] {
        match self {
            Self::Adr2025 | Self::Cfr49Of2022 => &[Mode::Road],
        }
    }

    /// First day of use.
    #[must_use]
    pub const fn first_day(self) -> NaiveDate {
        match self {
            // ADR 2025, 1.6.1.1, read.
            Self::Adr2025 => day(2025, 1, 1),
            // 87 FR 79777: the last amendment in the text that was read.
            Self::Cfr49Of2022 => day(2022, 12, 27),
        }
    }

    /// Last day of use; `None` where no end is known.
    #[must_use]
    pub const fn last_day(self) -> Option<NaiveDate> {
        match self {
            // ADR 2027 replaces it after an overlap of six months (from memory); from then on no
            // text has been seen, so no answer is given.
            Self::Adr2025 => Some(day(2027, 6, 30)),
            Self::Cfr49Of2022 => None,
        }
    }

    /// What stands between the parts of the document line before the class.
    #[must_use]
    pub(crate) const fn after_number(self) -> &'static str {
        match self {
            // ADR 2025, 5.4.1.1.1, the official examples.
            Self::Adr2025 => " ",
            // 49 CFR 172.202; the form of the letters of interpretation.
            Self::Cfr49Of2022 => ", ",
        }
    }

    /// The edition for a leg, or `None` where none is encoded for that day and mode.
    #[must_use]
    pub fn of(regime: Regime, mode: Mode, on: NaiveDate) -> Option<Self> {
        Self::ALL.into_iter().find(|edition| {
            edition.regime() == regime
                && edition.modes().contains(&mode)
                && edition.first_day() <= on
                && edition.last_day().is_none_or(|last| on <= last)
        })
    }
}

/// The mode of a leg: stated, or the only one of the regime.
#[must_use]
pub(crate) fn mode_of(regime: Regime, stated: Option<Mode>) -> Option<Mode> {
    match regime {
        Regime::Adr => Some(Mode::Road),
        Regime::Rid => Some(Mode::Rail),
        Regime::Imdg => Some(Mode::Sea),
        Regime::Air | Regime::Cfr49 => stated,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edition_is_used_from_its_first_day_to_its_last() {
        // ADR 2025, 1.6.1.1 (read); the end from memory.
        let of = |y, m, d| Edition::of(Regime::Adr, Mode::Road, day(y, m, d));
        assert_eq!(of(2024, 12, 31), None);
        assert_eq!(of(2025, 1, 1), Some(Edition::Adr2025));
        assert_eq!(of(2027, 6, 30), Some(Edition::Adr2025));
        assert_eq!(of(2027, 7, 1), None);
    }

    #[test]
    fn a_mode_that_is_not_encoded_has_no_edition() {
        let on = day(2026, 11, 25);
        assert_eq!(Edition::of(Regime::Cfr49, Mode::Sea, on), None);
        assert_eq!(Edition::of(Regime::Air, Mode::CargoAircraft, on), None);
        assert_eq!(mode_of(Regime::Cfr49, None), None);
    }
}
