//! Inspection sheets as one table: a row a module, every field, for the officer and the warehouse.

use serde::Serialize;

use crate::battery::Soundness;
use crate::inspection::LimitVerdict;
use crate::papers::charge;
use crate::papers::column::{Column, Kind, column, known, required, table, yes_no};
use crate::papers::tabular::Tabular;
use crate::papers::{ChargeRange, PaperError};
use crate::units::{Decimal, Grams};

/// One module's inspection sheet as it is printed. `None` or an empty list is not known, and
/// prints as an empty cell.
///
/// Readings keep the digits that the meter showed; `Millivolts::decimal()` and its like give the
/// same type for computed ones.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetRow {
    /// Name in the plan, such as `m1`.
    pub module: String,
    /// Serial, or the job serial where the plate cannot be read.
    pub serial: String,
    /// Whether the serial was read from the module.
    pub serial_proved: bool,
    /// Type designation on the plate.
    pub model: Option<String>,
    /// Place in the order of removal: 1 left first.
    pub position: Option<u32>,
    /// SHA-256 of each photograph, lower-case hex.
    pub photos: Vec<String>,
    /// Hottest face, in degrees Celsius.
    pub surface_temperature_c: Option<Decimal>,
    /// Air, in degrees Celsius.
    pub ambient_temperature_c: Option<Decimal>,
    /// Rise over ambient and neighbours, in kelvin.
    pub temperature_rise_k: Option<Decimal>,
    /// Across the battery terminals, in volts; negative is reversed.
    pub terminal_voltage_v: Option<Decimal>,
    /// Positive pole to case, in volts.
    pub positive_to_case_v: Option<Decimal>,
    /// Negative pole to case, in volts.
    pub negative_to_case_v: Option<Decimal>,
    /// Insulation resistance by dc voltage, in ohms per volt.
    pub insulation_ohm_per_v: Option<Decimal>,
    /// Lowest cell, in volts.
    pub cell_voltage_lowest_v: Option<Decimal>,
    /// Highest cell, in volts.
    pub cell_voltage_highest_v: Option<Decimal>,
    /// State of charge.
    pub state_of_charge: Option<ChargeRange>,
    /// Least and most energy that may be inside, in watt-hours.
    pub energy_inside_wh: Option<(Decimal, Decimal)>,
    /// The limit that a leg of the route asks of it, and whether it is proven.
    pub charge_limit: Option<(Decimal, LimitVerdict)>,
    /// Why that is not proven and what to do; what contradicts itself.
    pub charge_next: Vec<String>,
    /// Finding codes, such as `F07`.
    pub findings: Vec<String>,
    /// Condition in transport terms.
    pub soundness: Soundness,
    /// Who judged.
    pub judged_by: Option<String>,
    /// Where the criteria of the judgement come from.
    pub criteria_source: Option<String>,
    /// Mass without packaging.
    pub net_mass_kg: Option<Grams>,
    /// How it is to be lifted.
    pub lift_note: Option<String>,
    /// How the battery terminals are covered.
    pub terminal_covers: Option<String>,
    /// Package it lies in.
    pub package: Option<String>,
    /// That package's packaging.
    pub packaging: Option<String>,
    /// That package's seal.
    pub seal: Option<String>,
    /// Purpose reuse: each gate before an offer, with where it stands.
    pub reuse_gates: Vec<String>,
}

/// The words of [`LimitVerdict`].
const VERDICTS: &[&str] = &[
    LimitVerdict::Proven.words(),
    LimitVerdict::Disproven.words(),
    LimitVerdict::NotProven.words(),
];

/// The words of [`Soundness`], best first.
pub(crate) const SOUNDNESS: &[&str] = &[
    Soundness::Sound.word(),
    Soundness::Suspect.word(),
    Soundness::Undiagnosed.word(),
    Soundness::Damaged.word(),
    Soundness::Critical.word(),
];

const COLUMNS: [Column; 34] = [
    required("module", Kind::Text, "Name in the plan."),
    required(
        "serial",
        Kind::Text,
        "Serial, or job serial where the plate cannot be read.",
    ),
    required(
        "serial_proved",
        Kind::YES_NO,
        "Whether the serial was read from the module.",
    ),
    column("model", Kind::Text, "Type designation on the plate."),
    column(
        "position",
        Kind::Whole,
        "Place in the order of removal; 1 left first.",
    ),
    column(
        "photos_sha256",
        Kind::Hashes,
        "SHA-256 of each photograph, one blank between.",
    ),
    column(
        "surface_temperature_c",
        Kind::NUMBER,
        "Hottest face, degrees Celsius.",
    ),
    column(
        "ambient_temperature_c",
        Kind::NUMBER,
        "Air, degrees Celsius.",
    ),
    column(
        "temperature_rise_k",
        Kind::NUMBER,
        "Rise over ambient and neighbours, kelvin.",
    ),
    column(
        "terminal_voltage_v",
        Kind::NUMBER,
        "Across the battery terminals, volts; negative is reversed.",
    ),
    column(
        "positive_to_case_v",
        Kind::NUMBER,
        "Positive pole to case, volts.",
    ),
    column(
        "negative_to_case_v",
        Kind::NUMBER,
        "Negative pole to case, volts.",
    ),
    column(
        "insulation_ohm_per_v",
        Kind::AMOUNT,
        "Insulation resistance by dc voltage, ohms per volt.",
    ),
    column("cell_voltage_lowest_v", Kind::NUMBER, "Lowest cell, volts."),
    column(
        "cell_voltage_highest_v",
        Kind::NUMBER,
        "Highest cell, volts.",
    ),
    charge::LOW,
    charge::HIGH,
    charge::BASIS,
    column(
        "energy_inside_low_wh",
        Kind::AMOUNT,
        "Least energy that may be inside, watt-hours.",
    ),
    column(
        "energy_inside_high_wh",
        Kind::AMOUNT,
        "Most energy that may be inside, watt-hours; the whole rating where the charge is not known.",
    ),
    column(
        "state_of_charge_limit_percent",
        Kind::PERCENT,
        "Highest state of charge that a leg of the route allows, per cent.",
    ),
    column(
        "state_of_charge_verdict",
        Kind::Code(VERDICTS),
        "Whether the evidence shows that the limit is kept.",
    ),
    column(
        "state_of_charge_next",
        Kind::Text,
        "Why it is not proven, and what to do.",
    ),
    column("findings", Kind::Text, "Finding codes, one blank between."),
    required(
        "soundness",
        Kind::Code(SOUNDNESS),
        "Condition in transport terms.",
    ),
    column("judged_by", Kind::Text, "Who judged."),
    column(
        "criteria_source",
        Kind::Text,
        "Where the criteria of the judgement come from.",
    ),
    column(
        "net_mass_kg",
        Kind::AMOUNT,
        "Mass without packaging, kilograms.",
    ),
    column("lift_note", Kind::Text, "How it is to be lifted."),
    column(
        "terminal_covers",
        Kind::Text,
        "How the battery terminals are covered.",
    ),
    column("package", Kind::Text, "Package it lies in."),
    column("packaging", Kind::Text, "That package's packaging."),
    column("seal", Kind::Text, "That package's seal."),
    column(
        "reuse_gates",
        Kind::Text,
        "Purpose reuse: each gate before an offer, with where it stands.",
    ),
];

/// `sheets.csv`: the head row, then a row a module in the order given, CRLF after every line.
///
/// # Errors
/// A required cell without a value, or a hash, percentage or mass outside its column's grammar.
pub fn csv(rows: &[SheetRow]) -> Result<String, PaperError> {
    let rows: Vec<_> = rows.iter().map(values).collect();
    table(&COLUMNS, &rows)
}

/// The table as a whole.
const TABULAR: Tabular = Tabular {
    name: "sheets",
    title: "Inspection sheets, one row for each battery module",
    about: "Readings carry the digits that the meter showed.",
    format: "1.1",
    key: &["module"],
    columns: &COLUMNS,
};

/// `sheets.datapackage.json`: see [`custody::datapackage`](super::custody::datapackage).
///
/// # Errors
/// A hash outside its grammar.
pub fn datapackage(csv: &str, sha256: Option<&str>) -> Result<String, PaperError> {
    TABULAR.datapackage(csv, sha256)
}

/// `sheets.csv-metadata.json`: what W3C readers of CSV look for beside the table.
///
/// # Errors
/// None that a user can cause.
pub fn csvw() -> Result<String, PaperError> {
    TABULAR.csvw()
}

fn values(row: &SheetRow) -> [String; 34] {
    let charge = row.state_of_charge.as_ref();
    [
        row.module.clone(),
        row.serial.clone(),
        yes_no(row.serial_proved),
        known(row.model.as_ref()),
        known(row.position),
        row.photos.join(" "),
        known(row.surface_temperature_c),
        known(row.ambient_temperature_c),
        known(row.temperature_rise_k),
        known(row.terminal_voltage_v),
        known(row.positive_to_case_v),
        known(row.negative_to_case_v),
        known(row.insulation_ohm_per_v),
        known(row.cell_voltage_lowest_v),
        known(row.cell_voltage_highest_v),
        known(charge.map(|range| range.low_percent.decimal())),
        known(charge.map(|range| range.high_percent.decimal())),
        known(charge.map(|range| &range.basis)),
        known(row.energy_inside_wh.map(|(low, _)| low)),
        known(row.energy_inside_wh.map(|(_, high)| high)),
        known(row.charge_limit.map(|(limit, _)| limit)),
        known(row.charge_limit.map(|(_, verdict)| verdict.words())),
        row.charge_next.join("; "),
        row.findings.join(" "),
        row.soundness.word().to_owned(),
        known(row.judged_by.as_ref()),
        known(row.criteria_source.as_ref()),
        known(row.net_mass_kg.map(Grams::decimal)),
        known(row.lift_note.as_ref()),
        known(row.terminal_covers.as_ref()),
        known(row.package.as_ref()),
        known(row.packaging.as_ref()),
        known(row.seal.as_ref()),
        row.reuse_gates.join("; "),
    ]
}
