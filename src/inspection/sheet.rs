//! The inspection sheet of one module: what was read, what was found, who judged.

use serde::Serialize;

use crate::battery::Soundness;
use crate::units::Decimal;

/// Whether a limit of the state of charge is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitVerdict {
    /// It is, whatever the errors.
    Proven,
    /// It is not, whatever the errors.
    Disproven,
    /// The evidence does not decide.
    NotProven,
}

impl LimitVerdict {
    /// The words on papers.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Proven => "proven",
            Self::Disproven => "disproven",
            Self::NotProven => "not proven",
        }
    }
}

/// State of charge as an interval in per cent of present capacity, with its basis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateOfCharge {
    /// Lower bound, per cent.
    pub low_percent: Decimal,
    /// Upper bound, per cent.
    pub high_percent: Decimal,
    /// Where it comes from, in words.
    pub basis: String,
    /// Curves by which rested voltages were read.
    pub curves: Vec<String>,
    /// The limit that a leg of the route asks for, per cent, and whether it is kept.
    pub limit: Option<(Decimal, LimitVerdict)>,
    /// The evidence contradicts itself: nothing is taken from it.
    pub contradiction: bool,
    /// Highest rested cell that would prove the limit, volts.
    pub proving_cell_voltage_v: Option<Decimal>,
    /// Why the limit is not proven, and what to do; what contradicts itself.
    pub reasons: Vec<String>,
}

impl StateOfCharge {
    /// What is said where nothing is known: anything up to full, taken as full.
    #[must_use]
    pub fn not_known() -> Self {
        Self {
            low_percent: Decimal::whole(0),
            high_percent: Decimal::whole(100),
            basis: "not known: taken as full".into(),
            curves: Vec::new(),
            limit: None,
            contradiction: false,
            proving_cell_voltage_v: None,
            reasons: Vec::new(),
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
