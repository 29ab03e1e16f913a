//! The inspection sheet of one module: what was read, what was found, who judged.

use crate::battery::Soundness;
use crate::units::Decimal;

/// State of charge as an interval in per cent of present capacity, with its basis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateOfCharge {
    /// Lower bound, per cent.
    pub low_percent: Decimal,
    /// Upper bound, per cent.
    pub high_percent: Decimal,
    /// Where it comes from, in words.
    pub basis: String,
}

impl StateOfCharge {
    /// What is said where nothing is known: anything up to full, taken as full.
    #[must_use]
    pub fn not_known() -> Self {
        Self {
            low_percent: Decimal::whole(0),
            high_percent: Decimal::whole(100),
            basis: "not known: taken as full".into(),
        }
    }

    /// A value of the battery management system with its accuracy in percentage points; 5 where
    /// none is stated (chosen here, no source). Clipped to 0 to 100.
    #[must_use]
    pub fn from_management_system(percent: Decimal, accuracy: Option<Decimal>) -> Self {
        let accuracy = accuracy.unwrap_or(Decimal::whole(5)).magnitude();
        let (Some(value), Some(width)) = (percent.thousandths(), accuracy.thousandths()) else {
            return Self::not_known();
        };
        if !(0..=100_000).contains(&value) {
            return Self::not_known();
        }
        Self {
            low_percent: Decimal::from_thousandths(value.saturating_sub(width).clamp(0, 100_000)),
            high_percent: Decimal::from_thousandths(value.saturating_add(width).clamp(0, 100_000)),
            basis: format!("battery management system {percent} % ± {accuracy}"),
        }
    }
}

/// What the record says of one module. A field that is absent is not known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The module's name in the job.
    pub module: String,
    /// Serial as read, or the job serial.
    pub serial: String,
    /// Whether the serial was read from the module itself.
    pub serial_proved: bool,
    /// Type designation as read.
    pub model: Option<String>,
    /// Place in the order of removal.
    pub position: u32,
    /// SHA-256 of each photograph.
    pub photos: Vec<String>,
    /// Warmest face, degrees Celsius.
    pub surface_temperature_c: Option<Decimal>,
    /// Ambient, degrees Celsius.
    pub ambient_temperature_c: Option<Decimal>,
    /// Terminal voltage, volts.
    pub terminal_voltage_v: Option<Decimal>,
    /// Positive pole to case, volts.
    pub positive_to_case_v: Option<Decimal>,
    /// Negative pole to case, volts.
    pub negative_to_case_v: Option<Decimal>,
    /// Insulation, ohms per volt.
    pub insulation_ohm_per_v: Option<Decimal>,
    /// Lowest cell voltage, volts.
    pub cell_voltage_lowest_v: Option<Decimal>,
    /// Highest cell voltage, volts.
    pub cell_voltage_highest_v: Option<Decimal>,
    /// State of charge.
    pub state_of_charge: StateOfCharge,
    /// Finding codes, sorted.
    pub findings: Vec<String>,
    /// Soundness as judged; absent where nobody has judged yet.
    pub soundness: Option<Soundness>,
    /// Who judged.
    pub judged_by: Option<String>,
    /// The criteria that the judge went by.
    pub criteria_source: Option<String>,
    /// Mass, kilograms.
    pub net_mass_kg: Option<Decimal>,
    /// How it was lifted.
    pub lift_note: Option<String>,
    /// How its terminals are covered.
    pub terminal_covers: Option<String>,
    /// The package it went into.
    pub package: Option<String>,
    /// What that package is.
    pub packaging: Option<String>,
    /// Seal.
    pub seal: Option<String>,
    /// Whether it was lifted out.
    pub removed: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_management_system_value_is_an_interval() {
        let soc = StateOfCharge::from_management_system("24".parse().unwrap(), None);
        assert_eq!(
            (soc.low_percent, soc.high_percent),
            (Decimal::whole(19), Decimal::whole(29))
        );
        let top = StateOfCharge::from_management_system("98".parse().unwrap(), "3".parse().ok());
        assert_eq!(
            (top.low_percent, top.high_percent),
            (Decimal::whole(95), Decimal::whole(100))
        );
    }

    #[test]
    fn nonsense_is_taken_as_full() {
        for text in ["-1", "100.5", "0.0001"] {
            let soc = StateOfCharge::from_management_system(text.parse().unwrap(), None);
            assert_eq!(soc, StateOfCharge::not_known(), "{text}");
        }
    }
}
