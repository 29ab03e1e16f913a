//! Tables that other people make: which column is which fact is guessed, shown, confirmed by a
//! person, and remembered in the register.

use serde::Serialize;

use crate::actions::ActionError;
use crate::clock::Moment;
use crate::custody::{
    ColumnsConfirmed, HandedModule, HandedPackage, Handover, LeafRef, Register, Site,
};
use crate::store::StoreError;
use crate::units::Decimal;

/// Facts that a column may hold, with heads by which it is known: whole heads or parts of them,
/// small letters, the more telling first. Common practice, no source.
const FACTS: [(&str, &[&str]); 10] = [
    (
        "serial",
        &[
            "serial",
            "s/n",
            "serien",
            "série",
            "matricola",
            "serienr",
            "sn",
            "module id",
            "unit id",
        ],
    ),
    (
        "package",
        &[
            "package",
            "box",
            "carton",
            "pallet",
            "colli",
            "kiste",
            "parcel",
            "container",
            "crate",
        ],
    ),
    ("seal", &["seal", "plombe", "siegel", "scellé"]),
    ("gross_mass_kg", &["gross", "brutto", "brut"]),
    (
        "net_mass_kg",
        &[
            "net mass",
            "net weight",
            "netto",
            "weight",
            "mass",
            "gewicht",
            "poids",
            "kg",
        ],
    ),
    ("energy_kwh", &["kwh"]),
    ("energy_wh", &["wh", "energy", "energie"]),
    (
        "chemistry",
        &["chemistry", "chemie", "chimie", "cell type", "type"],
    ),
    (
        "condition",
        &[
            "condition",
            "soundness",
            "status",
            "zustand",
            "état",
            "damage",
        ],
    ),
    ("temperature_c", &["temperature", "temp", "°c", "degc"]),
];

/// A head with the fact it is taken for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ColumnGuess {
    /// Head as it stands.
    pub head: String,
    /// Fact; empty where the column is passed over.
    pub fact: String,
    /// The first value below it.
    pub example: String,
}

/// What became of a foreign table.
#[derive(Debug, Clone)]
pub enum Table {
    /// Its columns are known; it states this.
    Read {
        /// As a hand-over.
        handover: Box<Handover>,
        /// To be recorded, where a person has just confirmed it.
        confirmed: Option<ColumnsConfirmed>,
    },
    /// Somebody must say which column is which.
    Guessed(Vec<ColumnGuess>),
}

/// What is said beside a foreign table.
#[derive(Debug, Clone, Default)]
pub struct Saying {
    /// Who sends it.
    pub from: String,
    /// What for.
    pub purpose: String,
    /// Whether the guess is confirmed.
    pub confirm: bool,
    /// Columns said outright: head to fact; an empty fact passes the column over.
    pub columns: Vec<(String, String)>,
    /// Who says so.
    pub by: String,
}

/// Reads a foreign table: CSV with commas, semicolons or tabs.
///
/// # Errors
/// A text that is no table, a row without a serial, a figure that is none.
pub fn read_table(
    name: &str,
    text: &str,
    register: &Register,
    site: &Site,
    saying: &Saying,
    at: Moment,
) -> Result<Table, ActionError> {
    let separator = separator_of(text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .flexible(false)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let fault = |place: String, why: String| ActionError::from(StoreError::input(name, place, why));
    let heads: Vec<String> = reader
        .headers()
        .map_err(|error| fault(String::new(), error.to_string()))?
        .iter()
        .map(str::to_owned)
        .collect();
    let rows: Vec<csv::StringRecord> = reader
        .records()
        .collect::<Result<_, _>>()
        .map_err(|error| fault(String::new(), error.to_string()))?;
    for (head, fact) in &saying.columns {
        if !heads.contains(head) {
            return Err(fault(String::new(), format!("it has no column `{head}`")));
        }
        if !fact.is_empty() && !FACTS.iter().any(|(known, _)| known == fact) {
            let known: Vec<&str> = FACTS.iter().map(|(known, _)| *known).collect();
            return Err(fault(
                String::new(),
                format!("`{fact}` is no fact; there are {}", known.join(", ")),
            ));
        }
    }
    let remembered = register
        .columns
        .iter()
        .rev()
        .find(|one| one.heads == heads)
        .filter(|_| saying.columns.is_empty());
    let facts = match remembered {
        Some(one) => one.facts.clone(),
        None => guess(&heads, &saying.columns),
    };
    let guesses = || {
        heads
            .iter()
            .zip(&facts)
            .enumerate()
            .map(|(n, (head, fact))| ColumnGuess {
                head: head.clone(),
                fact: fact.clone(),
                example: rows
                    .first()
                    .and_then(|row| row.get(n))
                    .unwrap_or("")
                    .to_owned(),
            })
            .collect()
    };
    let has_serial = facts.iter().any(|fact| fact == "serial");
    if !has_serial || (remembered.is_none() && !saying.confirm) {
        return Ok(Table::Guessed(guesses()));
    }
    let packages = packages(&rows, &facts, &fault)?;
    let confirmed = remembered.is_none().then(|| ColumnsConfirmed {
        heads: heads.clone(),
        facts: facts.clone(),
        by: saying.by.clone(),
    });
    Ok(Table::Read {
        handover: Box::new(Handover {
            number: 0,
            job: name.to_owned(),
            at,
            place: site.name.clone(),
            from: crate::custody::Organisation {
                name: saying.from.clone(),
                address: String::new(),
                country: None,
            },
            released_by: String::new(),
            to: super::load::receiver(site),
            taken_by: String::new(),
            taken_by_organisation: None,
            vehicle: None,
            purpose: saying.purpose.clone(),
            kept: None,
            warmest_c: None,
            packages,
            papers: Vec::new(),
            remarks: None,
        }),
        confirmed,
    })
}

/// The sign that parts most fields of the first line.
fn separator_of(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or("");
    [b',', b';', b'\t']
        .into_iter()
        .max_by_key(|sign| first.bytes().filter(|byte| byte == sign).count())
        .unwrap_or(b',')
}

fn guess(heads: &[String], said: &[(String, String)]) -> Vec<String> {
    let mut taken: Vec<&str> = said.iter().map(|(_, fact)| fact.as_str()).collect();
    let mut facts = Vec::with_capacity(heads.len());
    for head in heads {
        if let Some((_, fact)) = said.iter().find(|(own, _)| own == head) {
            facts.push(fact.clone());
            continue;
        }
        let small = head.to_lowercase();
        let words: Vec<&str> = small
            .split(|sign: char| !sign.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        let known = FACTS
            .iter()
            .find(|(fact, ways)| {
                !taken.contains(fact)
                    && ways.iter().any(|way| {
                        // Short ways count as whole words only: `sn` is no part of `snow`.
                        if way.chars().count() <= 3 {
                            words.contains(way) || small == *way
                        } else {
                            small.contains(way)
                        }
                    })
            })
            .map(|(fact, _)| *fact);
        if let Some(fact) = known {
            taken.push(fact);
        }
        facts.push(known.unwrap_or("").to_owned());
    }
    facts
}

fn packages(
    rows: &[csv::StringRecord],
    facts: &[String],
    fault: &dyn Fn(String, String) -> ActionError,
) -> Result<Vec<HandedPackage>, ActionError> {
    let mut packages: Vec<HandedPackage> = Vec::new();
    for row in rows {
        let line = row.position().map_or(0, csv::Position::line);
        let cell = |fact: &str| {
            facts
                .iter()
                .position(|one| one == fact)
                .and_then(|at| row.get(at))
                .map(str::trim)
                .filter(|text| !text.is_empty())
        };
        let number = |fact: &str| -> Result<Option<Decimal>, ActionError> {
            let Some(text) = cell(fact) else {
                return Ok(None);
            };
            // A comma is how half of Europe writes the decimal point.
            text.replace(',', ".")
                .parse::<Decimal>()
                .map(Some)
                .map_err(|why| fault(format!("line {line}, {fact}"), why.to_string()))
        };
        if row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let Some(serial) = cell("serial") else {
            return Err(fault(
                format!("line {line}"),
                "no serial; give an unreadable one a row of its own word, such as UNREADABLE-1"
                    .into(),
            ));
        };
        let energy = match (number("energy_wh")?, number("energy_kwh")?) {
            (Some(wh), _) => Some(wh),
            (None, Some(kwh)) => kwh
                .thousandths()
                .and_then(|wh| wh.checked_mul(1_000))
                .map(Decimal::from_thousandths),
            (None, None) => None,
        };
        let module = HandedModule {
            identity: serial.to_owned(),
            serial_readable: true,
            chemistry: cell("chemistry").map(str::to_owned),
            cell_kind: None,
            soundness: condition(cell("condition")).to_owned(),
            rated_energy_wh: energy,
            net_mass_kg: number("net_mass_kg")?,
            state_of_charge_low_percent: None,
            state_of_charge_high_percent: None,
            surface_temperature_c: number("temperature_c")?,
            un: None,
            shipping_name: None,
            hold: None,
            last_entry: LeafRef {
                log: String::new(),
                seq: 0,
                leaf_hash: String::new(),
            },
        };
        let id = cell("package").unwrap_or("");
        match packages.iter_mut().find(|package| package.id == id) {
            Some(package) => package.modules.push(module),
            None => packages.push(HandedPackage {
                id: id.to_owned(),
                sscc: None,
                seal: cell("seal").map(str::to_owned),
                net_mass_kg: None,
                gross_mass_kg: number("gross_mass_kg")?,
                condition: "as the sender's table states".into(),
                surface_temperature_c: None,
                modules: vec![module],
            }),
        }
    }
    Ok(packages)
}

/// A condition in somebody's words; what is not plainly good is not taken for good.
fn condition(words: Option<&str>) -> &'static str {
    let small = words.unwrap_or("").to_lowercase();
    match small.as_str() {
        "sound" | "ok" | "good" | "in ordnung" | "gut" | "bon" | "intact" => "sound",
        "suspect" => "suspect",
        "damaged" | "defective" | "defekt" | "beschädigt" | "endommagé" => "damaged",
        "critical" => "critical",
        _ => "undiagnosed",
    }
}
