//! The editions whose text is encoded, the days on which each may be used, and how its transport
//! document writes the line. A day or a mode without an edition is never guessed.

use chrono::NaiveDate;

use crate::transport::facts::{Mode, Regime};

/// A dated text whose rules are encoded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edition {
    /// ADR 2023, as far as it is known second-hand.
    Adr2023,
    /// ADR 2025.
    Adr2025,
    /// Air, the texts of 2025, known second-hand.
    Air2025,
    /// Air, the texts of 2026, known second-hand.
    Air2026,
    /// 49 CFR, text of December 2022.
    Cfr49Of2022,
    /// IMDG amendment 42-24, known second-hand.
    Imdg42,
    /// RID 2023, as far as it is known second-hand.
    Rid2023,
    /// RID 2025.
    Rid2025,
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
    pub const ALL: [Self; 8] = [
        Self::Adr2025,
        Self::Adr2023,
        Self::Rid2025,
        Self::Rid2023,
        Self::Imdg42,
        Self::Air2026,
        Self::Air2025,
        Self::Cfr49Of2022,
    ];

    /// The name on papers.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Adr2023 => "ADR 2023",
            Self::Adr2025 => "ADR 2025",
            Self::Air2025 => "ICAO/IATA 2025",
            Self::Air2026 => "ICAO/IATA 2026",
            Self::Cfr49Of2022 => "49 CFR (text of Dec 2022)",
            Self::Imdg42 => "IMDG 42-24",
            Self::Rid2023 => "RID 2023",
            Self::Rid2025 => "RID 2025",
        }
    }

    /// The document, as its regulator names it.
    #[must_use]
    pub const fn document(self) -> &'static str {
        match self {
            Self::Adr2023 | Self::Adr2025 => "ADR",
            Self::Air2025 | Self::Air2026 => "ICAO/IATA",
            Self::Cfr49Of2022 => "49 CFR",
            Self::Imdg42 => "IMDG",
            Self::Rid2023 | Self::Rid2025 => "RID",
        }
    }

    /// The edition or the date of the text, without the document's name.
    #[must_use]
    pub const fn dated(self) -> &'static str {
        match self {
            Self::Adr2023 | Self::Rid2023 => "2023",
            Self::Adr2025 | Self::Air2025 | Self::Rid2025 => "2025",
            Self::Air2026 => "2026",
            Self::Cfr49Of2022 => "text of Dec 2022",
            Self::Imdg42 => "42-24",
        }
    }

    /// The regime it belongs to.
    #[must_use]
    pub const fn regime(self) -> Regime {
        match self {
            Self::Adr2023 | Self::Adr2025 => Regime::Adr,
            Self::Air2025 | Self::Air2026 => Regime::Air,
            Self::Cfr49Of2022 => Regime::Cfr49,
            Self::Imdg42 => Regime::Imdg,
            Self::Rid2023 | Self::Rid2025 => Regime::Rid,
        }
    }

    /// The modes whose rows are encoded.
    #[must_use]
    pub const fn modes(self) -> &'static [Mode] {
        match self {
            Self::Adr2023 | Self::Adr2025 => &[Mode::Road],
            Self::Air2025 | Self::Air2026 => &[Mode::CargoAircraft, Mode::PassengerAircraft],
            Self::Cfr49Of2022 => &[
                Mode::CargoAircraft,
                Mode::PassengerAircraft,
                Mode::Rail,
                Mode::Road,
                Mode::Sea,
            ],
            Self::Imdg42 => &[Mode::Sea],
            Self::Rid2023 | Self::Rid2025 => &[Mode::Rail],
        }
    }

    /// First day of use.
    #[must_use]
    pub const fn first_day(self) -> NaiveDate {
        match self {
            // The same pattern of dates two years before, from memory.
            Self::Adr2023 | Self::Rid2023 => day(2023, 1, 1),
            // ADR/RID 2025, 1.6.1.1, read. Sea: voluntary from this day. Air: a text a year.
            Self::Adr2025 | Self::Air2025 | Self::Imdg42 | Self::Rid2025 => day(2025, 1, 1),
            Self::Air2026 => day(2026, 1, 1),
            // 87 FR 79777: the last amendment in the text that was read.
            Self::Cfr49Of2022 => day(2022, 12, 27),
        }
    }

    /// Last day of use; `None` where no end is known.
    #[must_use]
    pub const fn last_day(self) -> Option<NaiveDate> {
        match self {
            // ADR/RID 2025, 1.6.1.1, read.
            Self::Adr2023 | Self::Rid2023 => Some(day(2025, 6, 30)),
            // The next edition replaces it after an overlap of six months (from memory); from then
            // on no text has been seen, so no answer is given.
            Self::Adr2025 | Self::Rid2025 => Some(day(2027, 6, 30)),
            Self::Air2025 => Some(day(2025, 12, 31)),
            Self::Air2026 => Some(day(2026, 12, 31)),
            // The next amendment replaces it after a voluntary year (from memory).
            Self::Imdg42 => Some(day(2027, 12, 31)),
            Self::Cfr49Of2022 => None,
        }
    }

    /// What stands between the parts of the document line before the class.
    #[must_use]
    pub(crate) const fn after_number(self) -> &'static str {
        match self {
            // ADR/RID 2025, 5.4.1.1.1, the official examples; the sea as they do.
            Self::Adr2023 | Self::Adr2025 | Self::Imdg42 | Self::Rid2023 | Self::Rid2025 => " ",
            // 49 CFR 172.202; the form of the letters of interpretation. Air as they do.
            Self::Air2025 | Self::Air2026 | Self::Cfr49Of2022 => ", ",
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
    regime.only_mode().or(stated)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edition_is_used_from_its_first_day_to_its_last() {
        // ADR/RID 2025, 1.6.1.1 (read); the ends of 2027 and of the sea code from memory.
        let of = |regime, mode, y, m, d| Edition::of(regime, mode, day(y, m, d));
        let road = |y, m, d| of(Regime::Adr, Mode::Road, y, m, d);
        assert_eq!(road(2022, 12, 31), None);
        assert_eq!(road(2024, 12, 31), Some(Edition::Adr2023));
        assert_eq!(road(2025, 1, 1), Some(Edition::Adr2025));
        assert_eq!(road(2027, 6, 30), Some(Edition::Adr2025));
        assert_eq!(road(2027, 7, 1), None);
        let rail = |y, m, d| of(Regime::Rid, Mode::Rail, y, m, d);
        assert_eq!(rail(2024, 12, 31), Some(Edition::Rid2023));
        assert_eq!(rail(2025, 1, 1), Some(Edition::Rid2025));
        assert_eq!(rail(2027, 7, 1), None);
        let sea = |y, m, d| of(Regime::Imdg, Mode::Sea, y, m, d);
        assert_eq!(sea(2024, 12, 31), None);
        assert_eq!(sea(2025, 1, 1), Some(Edition::Imdg42));
        assert_eq!(sea(2027, 12, 31), Some(Edition::Imdg42));
        assert_eq!(sea(2028, 1, 1), None);
        let air = |y, m, d| of(Regime::Air, Mode::CargoAircraft, y, m, d);
        assert_eq!(air(2024, 12, 31), None);
        assert_eq!(air(2025, 12, 31), Some(Edition::Air2025));
        assert_eq!(air(2026, 1, 1), Some(Edition::Air2026));
        assert_eq!(air(2027, 1, 1), None);
    }

    #[test]
    fn a_mode_outside_its_regime_has_no_edition() {
        let on = day(2026, 11, 25);
        assert_eq!(Edition::of(Regime::Adr, Mode::Rail, on), None);
        assert_eq!(Edition::of(Regime::Air, Mode::Road, on), None);
        assert_eq!(Edition::of(Regime::Imdg, Mode::Rail, on), None);
        assert_eq!(mode_of(Regime::Cfr49, None), None);
        assert_eq!(mode_of(Regime::Rid, None), Some(Mode::Rail));
    }
}
