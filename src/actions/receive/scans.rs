//! Scans from a file, one row each: a pallet at a time.

use serde::Deserialize;

use crate::actions::ActionError;
use crate::custody::{Expected, Scan, SealFound, SealState, Subject};
use crate::inspection::finding;
use crate::store::StoreError;
use crate::units::Decimal;

/// Columns of a file of scans. An empty cell was not looked at.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    code: String,
    #[serde(default)]
    package: String,
    #[serde(default)]
    seal: String,
    #[serde(default)]
    seal_state: String,
    #[serde(default)]
    count: String,
    #[serde(default)]
    gross_mass_kg: String,
    #[serde(default)]
    net_mass_kg: String,
    #[serde(default)]
    temperature_c: String,
    #[serde(default)]
    air_c: String,
    #[serde(default)]
    damage: String,
    #[serde(default)]
    findings: String,
    #[serde(default)]
    volume_m3: String,
    #[serde(default)]
    rated_energy_wh: String,
    #[serde(default)]
    chemistry: String,
    #[serde(default)]
    photos: String,
    #[serde(default)]
    remark: String,
}

/// The columns there are, in their order.
pub const SCAN_COLUMNS: [&str; 16] = [
    "code",
    "package",
    "seal",
    "seal_state",
    "count",
    "gross_mass_kg",
    "net_mass_kg",
    "temperature_c",
    "air_c",
    "damage",
    "findings",
    "volume_m3",
    "rated_energy_wh",
    "chemistry",
    "photos",
    "remark",
];

/// Reads a file of scans against what is expected. The code `load` is the load itself, an empty
/// code a module whose serial cannot be read; `none` as damage says that none was seen.
///
/// # Errors
/// The first cell that cannot be read, with its line and column. Nothing is taken then.
pub fn read_scans(
    name: &str,
    text: &str,
    expected: &Expected<'_>,
) -> Result<Vec<Scan>, ActionError> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut scans = Vec::new();
    let heads = reader
        .headers()
        .map_err(|error| StoreError::input(name, "", error.to_string()))?
        .clone();
    for head in &heads {
        if !SCAN_COLUMNS.contains(&head) {
            return Err(ActionError::Store(StoreError::Input {
                name: name.to_owned(),
                place: "line 1".into(),
                why: format!("`{head}` is no column of scans"),
                known: SCAN_COLUMNS.iter().map(|one| (*one).to_owned()).collect(),
            }));
        }
    }
    for record in reader.records() {
        let record = record.map_err(|error| StoreError::input(name, "", error.to_string()))?;
        let line = record.position().map_or(0, csv::Position::line);
        if record.iter().all(str::is_empty) {
            continue;
        }
        let row: Row = record
            .deserialize(Some(&heads))
            .map_err(|error| StoreError::input(name, format!("line {line}"), error.to_string()))?;
        scans.push(scan(name, line, &row, expected)?);
    }
    Ok(scans)
}

fn scan(name: &str, line: u64, row: &Row, expected: &Expected<'_>) -> Result<Scan, ActionError> {
    let fault = |column: &str, why: String| {
        ActionError::from(StoreError::input(
            name,
            format!("line {line}, {column}"),
            why,
        ))
    };
    let number = |column: &str, text: &str| -> Result<Option<Decimal>, ActionError> {
        if text.is_empty() {
            return Ok(None);
        }
        text.parse::<Decimal>()
            .map(Some)
            .map_err(|why| fault(column, why.to_string()))
    };
    let word = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    let subject = if row.code.eq_ignore_ascii_case("load") {
        Subject::Load
    } else if row.code.is_empty() {
        Subject::Module(String::new())
    } else {
        expected.subject(&super::receiving::identity_of(&row.code, expected))
    };
    let seal = match (row.seal.as_str(), row.seal_state.as_str()) {
        ("", "") => None,
        (_, "" | "intact") => Some(SealState::Intact),
        (_, "broken") => Some(SealState::Broken),
        (_, "missing") => Some(SealState::Missing),
        (_, other) => {
            return Err(fault(
                "seal_state",
                format!("`{other}` is none of intact, broken, missing"),
            ));
        }
    };
    let mut findings = Vec::new();
    for code in row
        .findings
        .split([' ', ';'])
        .filter(|code| !code.is_empty())
    {
        finding(code).map_err(|why| fault("findings", why.to_string()))?;
        findings.push(code.to_owned());
    }
    let mut one = Scan::of(subject.clone());
    one.temporary = row.code.is_empty();
    one.code = super::receiving::code_kept(&row.code, &subject);
    one.package = word(&row.package);
    one.seal = seal.map(|state| SealFound {
        state,
        number: word(&row.seal),
    });
    one.count = if row.count.is_empty() {
        None
    } else {
        Some(
            row.count
                .parse()
                .map_err(|_| fault("count", format!("`{}` is no whole number", row.count)))?,
        )
    };
    one.gross_mass_kg = number("gross_mass_kg", &row.gross_mass_kg)?;
    one.net_mass_kg = number("net_mass_kg", &row.net_mass_kg)?;
    one.temperature_c = number("temperature_c", &row.temperature_c)?;
    one.air_c = number("air_c", &row.air_c)?;
    one.damage = match row.damage.as_str() {
        "" => None,
        "none" => Some(Vec::new()),
        words => Some(vec![words.to_owned()]),
    };
    one.findings = findings;
    one.volume_m3 = number("volume_m3", &row.volume_m3)?;
    one.rated_energy_wh = number("rated_energy_wh", &row.rated_energy_wh)?;
    one.chemistry = word(&row.chemistry);
    one.photos = row
        .photos
        .split(';')
        .map(str::trim)
        .filter(|place| !place.is_empty())
        .map(super::typed::not_kept_yet)
        .collect();
    one.remark = word(&row.remark);
    Ok(one)
}
