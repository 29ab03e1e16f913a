//! What a loaded vehicle or wagon must have, as rows: duties, limits, transport categories, and the
//! agreements of states that a document may still quote. They belong to the rule set and its hash.
//!
//! ADR and RID 2025 were read in an unofficial translation, 49 CFR in copies of the year named.

use std::fmt;

use chrono::NaiveDate;

use crate::citation::Known;
use crate::transport::edition::day;
use crate::transport::sea_air_rows;
use crate::units::Decimal;

/// The load that a row is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadLaw {
    /// Road under ADR.
    Adr,
    /// Rail under RID.
    Rid,
    /// Highway of the United States.
    Highway,
    /// Rail in the United States.
    Railroad,
    /// The United States, by whatever mode the row is called for.
    UnitedStates,
    /// A unit packed for the sea under the IMDG Code.
    Sea,
    /// A vessel of the United States.
    Vessel,
    /// A consignment by air under the ICAO and IATA texts.
    Air,
    /// An aircraft of the United States.
    Aircraft,
}

impl LoadLaw {
    /// The words a reader sees.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Adr => "loads on the road under ADR",
            Self::Rid => "loads on the railway under RID",
            Self::Highway => "loads on the highway of the United States",
            Self::Railroad => "loads on the railway of the United States",
            Self::UnitedStates => "loads in the United States",
            Self::Sea => "units packed for the sea under IMDG",
            Self::Vessel => "loads on a vessel of the United States",
            Self::Air => "consignments by air under ICAO/IATA",
            Self::Aircraft => "consignments by air in the United States",
        }
    }
}

/// When a row of [`LoadLaw`] is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Due {
    /// With every load.
    Always,
    /// With a small load only.
    SmallLoad,
    /// With a load that is not small.
    FullLoad,
    /// Where its limit is reached or passed, as the sentence says.
    AtLimit,
}

impl Due {
    /// The words a reader sees.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Always => "every load",
            Self::SmallLoad => "a small load",
            Self::FullLoad => "a load that is not small",
            Self::AtLimit => "as the sentence says",
        }
    }
}

/// A duty of driver, carrier or loader, or a limit that the judgement of a load compares with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LoadRule {
    /// Permanent name: kebab-case, without a clause number.
    pub id: &'static str,
    /// What it says, in our words.
    pub says: &'static str,
    /// Whose load.
    pub law: LoadLaw,
    /// When it is due.
    pub due: Due,
    /// The limit in thousandths of `unit`, where it has one.
    pub limit: Option<i64>,
    /// Unit of the limit.
    pub unit: &'static str,
    /// Where it is written.
    pub clause: &'static str,
    /// How it is known.
    pub known: Known,
}

impl LoadRule {
    /// The limit in thousandths of its unit; one that has none bounds nothing.
    #[must_use]
    pub fn thousandths(&self) -> i64 {
        self.limit.unwrap_or(i64::MAX)
    }

    /// The clause, with how it is known where it was not read.
    #[must_use]
    pub fn cited(&self) -> String {
        match self.known {
            Known::Read => self.clause.to_owned(),
            other => format!("{} ({})", self.clause, other.words()),
        }
    }

    /// The limit with its unit, for a person; empty where there is none.
    #[must_use]
    pub fn limit_words(&self) -> String {
        self.limit.map_or_else(String::new, |limit| {
            format!("{} {}", Decimal::from_thousandths(limit), self.unit)
        })
    }
}

impl fmt::Display for LoadRule {
    /// One line of text; the hash of the rule set is taken over these lines too.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} | {} | {} | {} | limit: {} | {} | {}",
            self.id,
            self.says,
            self.law.words(),
            self.due.words(),
            self.limit_words(),
            self.clause,
            self.known.words()
        )
    }
}

/// Goods that the judgement of a load knows by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct KnownGoods {
    /// Digits of the UN number.
    pub digits: &'static str,
    /// Transport category; a battery of category 2 is in category 0 when critical (SP 677).
    pub category: u8,
    /// Label.
    pub label: &'static str,
}

/// ADR 2025, 3.2 Table A, columns 5 and 15 (read in an unofficial translation).
pub(super) const GOODS: [KnownGoods; 11] = [
    goods("2794", 3, "8"),
    goods("2795", 3, "8"),
    goods("2800", 3, "8"),
    goods("3028", 3, "8"),
    goods("3090", 2, "9A"),
    goods("3091", 2, "9A"),
    goods("3480", 2, "9A"),
    goods("3481", 2, "9A"),
    goods("3536", 2, "9"),
    goods("3551", 2, "9A"),
    goods("3552", 2, "9A"),
];

const fn goods(digits: &'static str, category: u8, label: &'static str) -> KnownGoods {
    KnownGoods {
        digits,
        category,
        label,
    }
}

/// A transport category: the factor for its points, and its most alone, in grams.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Category {
    /// 0 to 4.
    pub number: u8,
    /// Points a kilogram; `None` where a small load may hold none of it.
    pub factor: Option<i64>,
    /// Most of it on a small load that holds nothing else, in grams; `None` where unlimited.
    pub most: Option<i64>,
}

/// ADR 2025, 1.1.3.6.3 and 1.1.3.6.4 (read in an unofficial translation).
pub(super) const CATEGORIES: [Category; 5] = [
    category(0, None, Some(0)),
    category(1, Some(50), Some(20_000)),
    category(2, Some(3), Some(333_000)),
    category(3, Some(1), Some(1_000_000)),
    category(4, Some(0), None),
];

const fn category(number: u8, factor: Option<i64>, most: Option<i64>) -> Category {
    Category {
        number,
        factor,
        most,
    }
}

/// An agreement of states about these batteries that a document may still quote.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Agreement {
    /// Its name, such as `M354`.
    pub name: &'static str,
    /// Its last day, where it is known.
    pub last_day: Option<NaiveDate>,
}

/// Dates second-hand, from pages that list the agreements. ADR 2025, 1.5.1.
pub(super) const AGREEMENTS: [Agreement; 5] = [
    agreement("M259", None),
    agreement("M285", None),
    agreement("M292", Some(day(2016, 12, 31))),
    agreement("M307", Some(day(2018, 12, 31))),
    agreement("M354", Some(day(2025, 6, 30))),
];

const fn agreement(name: &'static str, last_day: Option<NaiveDate>) -> Agreement {
    Agreement { name, last_day }
}

/// A duty that was read.
pub(super) const fn duty(
    id: &'static str,
    says: &'static str,
    law: LoadLaw,
    due: Due,
    clause: &'static str,
) -> LoadRule {
    LoadRule {
        id,
        says,
        law,
        due,
        limit: None,
        unit: "",
        clause,
        known: Known::Read,
    }
}

/// The same, known otherwise than by reading.
pub(super) const fn known_as(rule: LoadRule, known: Known) -> LoadRule {
    LoadRule { known, ..rule }
}

/// The same, with a limit in thousandths of a unit.
pub(super) const fn limited(rule: LoadRule, thousandths: i64, unit: &'static str) -> LoadRule {
    LoadRule {
        limit: Some(thousandths),
        unit,
        ..rule
    }
}

/// Most points of a small load.
pub(super) const SMALL_LOAD: LoadRule = limited(
    duty(
        "load-small-points",
        "A load is small up to 1,000 points over all categories of vehicle and trailer; of one \
         category alone up to its own most.",
        LoadLaw::Adr,
        Due::AtLimit,
        "ADR 2025, 1.1.3.6.3; 1.1.3.6.4",
    ),
    1_000_000,
    "points",
);

/// Fire extinguisher of a small load.
pub(super) const SMALL_EXTINGUISHER: LoadRule = limited(
    duty(
        "load-small-extinguisher",
        "One fire extinguisher of at least 2 kg ABC powder is aboard.",
        LoadLaw::Adr,
        Due::SmallLoad,
        "ADR 2025, 8.1.4.2",
    ),
    2_000,
    "kg",
);

/// Fire extinguishers of a full load: up to which permissible mass, together, the largest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct ExtinguisherClass {
    /// Greatest permissible mass of vehicle and trailer, in grams.
    pub up_to: i64,
    /// All together, in grams.
    pub together: i64,
    /// The largest, in grams.
    pub largest: i64,
    /// In words.
    pub says: &'static str,
}

/// ADR 2025, 8.1.4.1 (read in an unofficial translation).
pub(super) const EXTINGUISHERS: [ExtinguisherClass; 3] = [
    ExtinguisherClass {
        up_to: 3_500_000,
        together: 4_000,
        largest: 2_000,
        says: "two, together at least 4 kg, one of at least 2 kg",
    },
    ExtinguisherClass {
        up_to: 7_500_000,
        together: 8_000,
        largest: 6_000,
        says: "two, together at least 8 kg, one of at least 6 kg",
    },
    ExtinguisherClass {
        up_to: i64::MAX,
        together: 12_000,
        largest: 6_000,
        says: "two, together at least 12 kg, one of at least 6 kg",
    },
];

/// 4,000 kg of one kind on a vehicle or wagon of the United States.
pub(super) const US_BIG_LOAD: LoadRule = limited(
    duty(
        "load-us-number-on-vehicle",
        "4,000 kg or more of one number from one site, with nothing else aboard: the UN number \
         stands on each side and each end of the vehicle or freight container.",
        LoadLaw::UnitedStates,
        Due::AtLimit,
        "49 CFR text of 2016, 172.301(a)(3)",
    ),
    4_000_000,
    "kg gross",
);

/// One package in bulk in the United States.
pub(super) const US_BULK: LoadRule = limited(
    duty(
        "load-us-bulk-number",
        "A package of more than 400 kg net is in bulk: its UN number stands on a placard, an orange \
         panel or a white diamond.",
        LoadLaw::UnitedStates,
        Due::AtLimit,
        "49 CFR, 171.8; 172.504(f)(9); letter of interpretation 23-0052",
    ),
    400_000,
    "kg net",
);

/// All materials of trade together on one vehicle.
pub(super) const TRADE_LOAD: LoadRule = limited(
    duty(
        "load-us-trade-limits",
        "At most 30 kg gross a package (second-hand) and 200 kg in all on the vehicle; never \
         damaged batteries, never hazardous waste.",
        LoadLaw::Highway,
        Due::SmallLoad,
        "49 CFR text of 2013, 173.6(a), (d); letter of interpretation 19-0041",
    ),
    200_000,
    "kg gross",
);

/// One package of materials of trade.
pub(super) const TRADE_PACKAGE: LoadRule = known_as(
    limited(
        duty(
            "load-us-trade-package",
            "A package of a material of trade weighs at most 30 kg with its packaging.",
            LoadLaw::Highway,
            Due::AtLimit,
            "49 CFR text of 2013, 173.6(a)(1); letter of interpretation 19-0041",
        ),
        30_000,
        "kg gross",
    ),
    Known::Secondary,
);

/// Express parcels by rail.
pub(super) const RAIL_EXPRESS: LoadRule = limited(
    duty(
        "load-rail-express",
        "A package of more than 40 kg does not go as an express parcel.",
        LoadLaw::Rid,
        Due::AtLimit,
        "RID 2025, 7.6, CE2",
    ),
    40_000,
    "kg",
);

/// Those of vehicles and wagons, in the order in which an answer names them.
const RULES: &[LoadRule] = &[
    duty(
        "load-document-aboard",
        "The transport document is in the cab.",
        LoadLaw::Adr,
        Due::Always,
        "ADR 2025, 8.1.2.1(a)",
    ),
    duty(
        "load-looked-over",
        "Vehicle and packages are looked over before loading; a damaged or leaking package is not \
         loaded.",
        LoadLaw::Adr,
        Due::Always,
        "ADR 2025, 7.5.1.2; 1.4.3.1",
    ),
    duty(
        "load-secured",
        "The load is secured so that no package moves or is crushed; EN 12195-1 satisfies this.",
        LoadLaw::Adr,
        Due::Always,
        "ADR 2025, 7.5.7",
    ),
    duty(
        "load-people-trained",
        "Everyone who loads or drives has been trained for it.",
        LoadLaw::Adr,
        Due::Always,
        "ADR 2025, 1.3; 8.2.3",
    ),
    duty(
        "load-stay-closed",
        "The crew opens no package, smokes nowhere near, and uses no open light.",
        LoadLaw::Adr,
        Due::Always,
        "ADR 2025, 8.3.3; 8.3.4; 8.3.5",
    ),
    SMALL_LOAD,
    duty(
        "load-small-document",
        "The document gives quantity and points of each transport category.",
        LoadLaw::Adr,
        Due::SmallLoad,
        "ADR 2025, 5.4.1.1.1(f)",
    ),
    SMALL_EXTINGUISHER,
    duty(
        "load-small-no-plates",
        "No orange plates, no written instructions, no driver's certificate, no tunnel \
         restriction.",
        LoadLaw::Adr,
        Due::SmallLoad,
        "ADR 2025, 1.1.3.6.2; 8.6.3.3",
    ),
    duty(
        "load-full-plates",
        "Blank orange plates stand at front and rear; class 9 packages need no placard on the \
         vehicle.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 5.3.2.1.1; 5.3.1.5",
    ),
    duty(
        "load-full-written-instructions",
        "The written instructions, four pages in a language that the crew reads, are in the cab.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 5.4.3",
    ),
    duty(
        "load-full-driver",
        "The driver holds the certificate of training, and each of the crew carries an identity \
         card with photograph.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 8.2.1; 8.1.2.1(d)",
    ),
    duty(
        "load-full-extinguishers",
        "Fire extinguishers as the mass of the vehicle asks for: sealed, in date, within reach.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 8.1.4.1; 8.1.4.4",
    ),
    duty(
        "load-full-kit",
        "A chock for each vehicle, two standing warning signs, eye rinse; for each person a vest, \
         lamp, gloves and eye protection.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 8.1.5.2",
    ),
    duty(
        "load-full-tunnels",
        "The way passes no tunnel of category E.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 8.6.4",
    ),
    duty(
        "load-full-crew-only",
        "Nobody but the crew travels along.",
        LoadLaw::Adr,
        Due::FullLoad,
        "ADR 2025, 8.3.1",
    ),
    duty(
        "load-rail-document",
        "The transport document travels with the goods.",
        LoadLaw::Rid,
        Due::Always,
        "RID 2025, 5.4.0.1",
    ),
    duty(
        "load-rail-looked-over",
        "Wagon and packages are looked over before loading; a damaged or leaking package is not \
         loaded.",
        LoadLaw::Rid,
        Due::Always,
        "RID 2025, 7.5.1.2; 1.4.3.1",
    ),
    duty(
        "load-rail-secured",
        "The load is secured so that no package moves or is crushed.",
        LoadLaw::Rid,
        Due::Always,
        "RID 2025, 7.5.7",
    ),
    duty(
        "load-rail-people-trained",
        "Everyone who loads has been trained for it.",
        LoadLaw::Rid,
        Due::Always,
        "RID 2025, 1.3",
    ),
    duty(
        "load-rail-no-small-load",
        "There is no relief for small loads by rail: every load is a full one.",
        LoadLaw::Rid,
        Due::Always,
        "RID 2025, 1.1.3.6",
    ),
    known_as(
        duty(
            "load-rail-placards",
            "Placards of model 9, never 9A, stand on both sides of the wagon.",
            LoadLaw::Rid,
            Due::Always,
            "RID 2025, 5.3.1.5; 5.3.1.1.4",
        ),
        Known::Memory,
    ),
    RAIL_EXPRESS,
    duty(
        "load-us-no-placard",
        "No class 9 placard is required on the highway, and so no endorsement of the licence.",
        LoadLaw::Highway,
        Due::Always,
        "49 CFR, 172.504(f)(9); letter of interpretation 21-0099",
    ),
    duty(
        "load-us-trade-packing",
        "Materials of trade: in the maker's packaging or as strong a one, closed, secured, \
         protected from damage.",
        LoadLaw::Highway,
        Due::SmallLoad,
        "49 CFR text of 2013, 173.6(b)",
    ),
    duty(
        "load-us-trade-name",
        "Each package shows the common or the proper shipping name.",
        LoadLaw::Highway,
        Due::SmallLoad,
        "49 CFR text of 2013, 173.6(c)(1)",
    ),
    duty(
        "load-us-trade-driver",
        "The driver knows that they are aboard, and knows this section.",
        LoadLaw::Highway,
        Due::SmallLoad,
        "49 CFR text of 2013, 173.6(c)(4)",
    ),
    TRADE_LOAD,
    TRADE_PACKAGE,
    duty(
        "load-us-paper",
        "The shipping paper, with its emergency number, is within the driver's reach.",
        LoadLaw::Highway,
        Due::FullLoad,
        "49 CFR, 172.202; 172.604; 177.817 (the last from memory, unverified)",
    ),
    duty(
        "load-us-secured",
        "Packages are secured against shifting; damage is looked for before loading.",
        LoadLaw::Highway,
        Due::FullLoad,
        "49 CFR, 173.185(b)(2); 177.834 (the last from memory, unverified)",
    ),
    duty(
        "load-us-rail-no-placard",
        "No class 9 placard is required in domestic carriage.",
        LoadLaw::Railroad,
        Due::Always,
        "49 CFR, 172.504(f)(9)",
    ),
    duty(
        "load-us-rail-paper",
        "The shipping paper, with its emergency number, goes with the train crew.",
        LoadLaw::Railroad,
        Due::FullLoad,
        "49 CFR, 172.202; 172.604; 174.24; 174.26 (the last two from memory, unverified)",
    ),
    duty(
        "load-us-rail-secured",
        "Packages are secured against shifting; damage is looked for before loading.",
        LoadLaw::Railroad,
        Due::FullLoad,
        "49 CFR, 173.185(b)(2); 174.55 (the last from memory, unverified)",
    ),
    known_as(
        duty(
            "load-us-trained",
            "Whoever loads or drives is trained and tested.",
            LoadLaw::UnitedStates,
            Due::FullLoad,
            "49 CFR, 172.704",
        ),
        Known::Memory,
    ),
    US_BIG_LOAD,
    US_BULK,
    NEXT_EDITION_ROAD,
    NEXT_EDITION_RAIL,
];

/// ADR in the months when two editions may be used.
pub(super) const NEXT_EDITION_ROAD: LoadRule = known_as(
    duty(
        "load-next-edition",
        "From 1 January 2027 the next edition stands beside this one, which ends on 30 June 2027; \
         its text was not seen, so the officer says which of the two the load travels by.",
        LoadLaw::Adr,
        Due::AtLimit,
        "ADR 2025, 1.6.1.1",
    ),
    Known::Memory,
);

/// RID in the months when two editions may be used.
pub(super) const NEXT_EDITION_RAIL: LoadRule = LoadRule {
    id: "load-rail-next-edition",
    law: LoadLaw::Rid,
    clause: "RID 2025, 1.6.1.1",
    ..NEXT_EDITION_ROAD
};

/// First day on which two editions of ADR and of RID stand side by side (from memory).
pub(super) const NEXT_EDITION_FROM: NaiveDate = day(2027, 1, 1);

/// Every duty and limit of loads, in the order in which an answer names them.
pub fn load_rules() -> impl Iterator<Item = &'static LoadRule> {
    RULES.iter().chain(sea_air_rows::RULES)
}

/// What stands in tables behind a row: transport categories and goods behind the points of a small
/// load, classes of vehicles behind the fire extinguishers. Empty for every other row.
#[must_use]
pub fn load_table(id: &str) -> Vec<String> {
    let kilograms = |grams: i64| Decimal::from_thousandths(grams).to_string();
    match id {
        "load-small-points" => CATEGORIES
            .iter()
            .map(|one| {
                let points = one.factor.map_or_else(
                    || "none of it on a small load".to_owned(),
                    |factor| format!("{factor} points a kg"),
                );
                let alone = one.most.map_or_else(
                    || "no most".to_owned(),
                    |most| format!("at most {} kg alone", kilograms(most)),
                );
                let goods: Vec<String> = GOODS
                    .iter()
                    .filter(|goods| goods.category == one.number)
                    .map(|goods| format!("UN {} with label {}", goods.digits, goods.label))
                    .collect();
                let goods = if goods.is_empty() {
                    String::new()
                } else {
                    format!("; {}", goods.join(", "))
                };
                format!(
                    "transport category {}: {points}, {alone}{goods}",
                    one.number
                )
            })
            .collect(),
        "load-full-extinguishers" => EXTINGUISHERS
            .iter()
            .map(|one| {
                let vehicle = if one.up_to == i64::MAX {
                    "heavier".to_owned()
                } else {
                    format!("up to {} kg permissible mass", kilograms(one.up_to))
                };
                format!("{vehicle}: {}", one.says)
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// The agreements as lines for a person.
#[must_use]
pub fn agreement_lines() -> Vec<String> {
    let last = |one: &Agreement| {
        one.last_day.map_or_else(
            || "its end is not known: show that it is in force".to_owned(),
            |day| format!("ended on {day}"),
        )
    };
    AGREEMENTS
        .iter()
        .map(|one| format!("{}: {}", one.name, last(one)))
        .collect()
}

/// The rows of loads and documents as text, one a line, for the hash of the rule set.
pub(super) fn lines() -> Vec<String> {
    let mut lines = Vec::new();
    for rule in load_rules() {
        lines.push(rule.to_string());
        lines.extend(load_table(rule.id));
    }
    lines.extend(EXTINGUISHERS.iter().map(|one| {
        format!(
            "fire extinguishers up to {} g: {} g together, largest {} g",
            one.up_to, one.together, one.largest
        )
    }));
    lines.extend(agreement_lines());
    lines
}
