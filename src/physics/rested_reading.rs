//! What was read on a rested module and what else is known of its charge; volts, millivolts,
//! hours, degrees Celsius. Everything optional is "not known" where it is absent.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curves::{CellKind, Curve};
use super::domain::DomainError;

/// Error of a voltmeter: ±(per cent of reading + digits of the last place).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Meter {
    /// Per cent of the reading.
    pub percent_of_reading: f64,
    /// Counts of the last place.
    pub digits: f64,
    /// The last place, volts.
    pub resolution_v: f64,
}

impl Meter {
    /// Where no instrument is on record: 1 % and 5 digits (chosen here) of 0.1 V.
    pub(super) const NOT_KNOWN: Self = Self {
        percent_of_reading: 1.0,
        digits: 5.0,
        resolution_v: 0.1,
    };
}

/// Which way the last current went.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LastCurrent {
    /// In.
    Charging,
    /// Out: the true value lies on the lower branch, so hysteresis narrows the lower bound.
    Discharging,
    /// Not known.
    #[default]
    Unknown,
}

/// Two readings some time apart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StableReadings {
    /// The first, volts on the module.
    pub first_v: f64,
    /// The second, volts on the module.
    pub second_v: f64,
    /// Minutes between them; 30 or more count.
    pub minutes_apart: f64,
}

/// What the battery management system says.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ManagementValue {
    /// Per cent.
    pub percent: f64,
    /// Percentage points; 5 where none is stated (chosen here).
    #[serde(default)]
    pub accuracy_percent: Option<f64>,
}

/// Charge counted from a known point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CoulombCount {
    /// Greatest state of charge at the anchor, per cent.
    pub anchor_high_percent: f64,
    /// Ampere-hours taken out since.
    pub removed_ah: f64,
    /// Gain error of the counter, per cent.
    pub gain_error_percent: f64,
    /// Offset of the counter, amperes.
    pub offset_a: f64,
    /// Hours counted.
    pub hours: f64,
    /// The largest capacity that the module may have: the rated one, ampere-hours.
    pub largest_capacity_ah: f64,
}

/// A row of a maker's table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// State of charge, 0 to 1.
    pub soc: f64,
    /// Volts a cell.
    pub ocv_v: f64,
}

/// The maker's own table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(
    untagged,
    expecting = "expected a table as CSV text, or rows of soc and ocv_v"
)]
pub enum MakerCurve {
    /// CSV text with the columns `soc` (0 to 1) and `ocv_v`.
    Csv(String),
    /// Rows.
    Points(Vec<CurvePoint>),
}

impl MakerCurve {
    /// The table, checked.
    ///
    /// # Errors
    /// As [`Curve::new`].
    pub fn read(&self) -> Result<Curve, DomainError> {
        match self {
            Self::Csv(text) => Curve::from_csv("maker", text),
            Self::Points(points) => {
                Curve::new("maker", points.iter().map(|p| (p.soc, p.ocv_v)).collect())
            }
        }
    }
}

/// What was read on a module.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RestedReading {
    /// Kind of cell.
    #[serde(default)]
    pub chemistry: CellKind,
    /// Cells in series, 1 to 1000.
    pub cells: u32,
    /// Module voltage, volts; may be absent where cell voltages are given.
    #[serde(default)]
    pub module_voltage_v: Option<f64>,
    /// Voltage of every cell, volts.
    #[serde(default)]
    pub cell_voltages_v: Option<Vec<f64>>,
    /// Greatest distance of a cell from the mean, millivolts, known from elsewhere.
    #[serde(default)]
    pub cell_spread_mv: Option<f64>,
    /// The meter; 1 % and 5 digits of 0.1 V (module) or 0.01 V (cells) where absent (chosen here).
    #[serde(default)]
    pub instrument: Option<Meter>,
    /// Surface temperature, degrees Celsius.
    #[serde(default)]
    pub temperature_c: Option<f64>,
    /// Hours since the last current.
    #[serde(default)]
    pub rested_h: Option<f64>,
    /// Current now, amperes.
    #[serde(default)]
    pub current_a: Option<f64>,
    /// Which way the last current went.
    #[serde(default)]
    pub last: LastCurrent,
    /// The limit to prove, per cent; 30 where absent.
    #[serde(default)]
    pub limit_percent: Option<f64>,
    /// The maker's own table.
    #[serde(default)]
    pub curve: Option<MakerCurve>,
    /// Two readings that show rest.
    #[serde(default)]
    pub stable_readings: Option<StableReadings>,
    /// The maker's least cell voltage, volts.
    #[serde(default)]
    pub cell_minimum_v: Option<f64>,
    /// The maker's greatest cell voltage, volts.
    #[serde(default)]
    pub cell_maximum_v: Option<f64>,
    /// Value of the battery management system.
    #[serde(default)]
    pub management: Option<ManagementValue>,
    /// The management value stands against a finding (F27, F28): it does not count.
    #[serde(default)]
    pub management_doubtful: bool,
    /// Charge counted from a known point.
    #[serde(default)]
    pub coulomb: Option<CoulombCount>,
}
