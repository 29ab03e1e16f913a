//! What a vehicle with this load must have, and whether it is a small load: for the loader before
//! the doors close. Goods on vehicle and trailer count together, by the mass of the articles.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize, Serializer, ser};

use crate::citation::Reason;
use crate::transport::decision::{Answer, RequirementDue};
use crate::transport::edition::Edition;
use crate::transport::facts::{Mode, Regime};
use crate::transport::vehicle_rows::{
    ADR_ALWAYS, ADR_FULL, ADR_SMALL, Duty, TRADE, US_ALWAYS, US_FULL,
};
use crate::units::{Decimal, Grams};

/// Most points of a small load (ADR 2025, 1.1.3.6.4, read).
pub(crate) const SMALL_LOAD_POINTS: i32 = 1_000;

/// A load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// Body of rules: `adr` or `cfr49`.
    pub regime: Regime,
    /// Day of carriage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<NaiveDate>,
    /// The vehicle.
    #[serde(default)]
    pub vehicle: Vehicle,
    /// Whether it draws a trailer.
    #[serde(default)]
    pub trailer: bool,
    /// Category of the most restricted tunnel on the way, A to E.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tunnel: Option<Tunnel>,
    /// Whether the driver holds the certificate of 8.2.1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub driver_certificate: Option<bool>,
    /// United States: whether it was loaded at one site only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loaded_at_one_site: Option<bool>,
    /// United States: whether other freight is aboard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_freight: Option<bool>,
    /// United States: whether it needs a hazardous waste manifest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hazardous_waste: Option<bool>,
    /// Everything dangerous aboard.
    pub goods: Vec<Goods>,
}

/// The vehicle.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Vehicle {
    /// Greatest permissible mass, with its trailer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_mass_kg: Option<Grams>,
    /// Fire extinguishers aboard, by their filling.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extinguishers_kg: Option<Vec<Grams>>,
    /// United States: whether a firm carries its own goods for a main business other than carriage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub private_carrier_for_own_trade: Option<bool>,
}

/// Tunnel category.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Tunnel {
    /// No restriction.
    A,
    /// B.
    B,
    /// C.
    C,
    /// D.
    D,
    /// All but limited quantities.
    E,
}

/// Where goods stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// On the trailer.
    Trailer,
    /// On the vehicle.
    #[default]
    Vehicle,
}

/// One kind of goods.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Goods {
    /// UN number.
    pub un: String,
    /// Mass of the articles without packaging.
    pub net_mass_kg: Grams,
    /// Mass with packaging.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross_mass_kg: Option<Grams>,
    /// Whether any of the batteries is critical.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub critical: Option<bool>,
    /// Whether any of the batteries is damaged, defective or recalled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub damaged: Option<bool>,
    /// Where they stand.
    #[serde(default)]
    pub on: Standing,
    /// Transport category 0 to 4, for numbers that this program does not know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub category: Option<u8>,
    /// Labels, for numbers that this program does not know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub labels: Option<Vec<String>>,
    /// Net mass of the heaviest package.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heaviest_package_net_kg: Option<Grams>,
    /// Gross mass of the heaviest package.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heaviest_package_gross_kg: Option<Grams>,
}

/// The answer for a load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LoadAnswer {
    /// The answer.
    pub answer: Answer,
    /// Points of ADR 1.1.3.6; absent where they cannot be told or do not exist. A number in JSON.
    #[serde(serialize_with = "as_number")]
    pub points: Option<Decimal>,
    /// Whether the relief applies: small load in ADR, materials of trade in the United States.
    pub small_load: bool,
    /// Duties.
    pub requirements: Vec<RequirementDue>,
    /// What stands against it, or is not known.
    pub reasons: Vec<Reason>,
}

fn as_number<S: Serializer>(points: &Option<Decimal>, out: S) -> Result<S::Ok, S::Error> {
    points
        .map(|points| points.to_string().parse::<serde_json::Number>())
        .transpose()
        .map_err(ser::Error::custom)?
        .serialize(out)
}

/// The factor of a transport category (ADR 2025, 1.1.3.6.4, read); `None` for category 0, which a
/// small load must not have.
pub(crate) fn factor_of(category: &str) -> Option<i64> {
    match category {
        "1" => Some(50),
        "2" => Some(3),
        "3" => Some(1),
        "4" => Some(0),
        _ => None,
    }
}

/// Most of one category alone, in grams (ADR 2025, 1.1.3.6.3, read).
const fn most_of(category: u8) -> Option<i64> {
    match category {
        1 => Some(20_000),
        2 => Some(333_000),
        3 => Some(1_000_000),
        _ => None,
    }
}

/// Transport category and label by number (ADR 2025, 3.2 Table A, read); batteries of category 2
/// are in category 0 when critical (SP 677).
fn known_goods(digits: &str) -> Option<(u8, &'static str)> {
    match digits {
        "3090" | "3091" | "3480" | "3481" | "3551" | "3552" => Some((2, "9A")),
        "3536" => Some((2, "9")),
        "2794" | "2795" | "2800" | "3028" => Some((3, "8")),
        _ => None,
    }
}

/// The answer for the load.
#[must_use]
pub fn check_load(load: &Load) -> LoadAnswer {
    let mut check = Check {
        answer: LoadAnswer {
            answer: Answer::AllowedWith,
            points: None,
            small_load: false,
            requirements: Vec::new(),
            reasons: Vec::new(),
        },
    };
    let edition = load
        .on
        .and_then(|on| Edition::of(load.regime, Mode::Road, on));
    match (load.on, edition.map(Edition::name)) {
        (None, _) => check.ask("on", "on which day does it travel", ""),
        (Some(_), Some("ADR 2025")) => check.adr(load),
        (Some(_), Some(name)) if name.starts_with("49 CFR") => check.us(load),
        (Some(on), _) => check.hold(
            "rules for vehicles",
            &format!("none encoded for {} on {on}", load.regime),
            "ask the compliance officer; this rule set does not answer for it",
        ),
    }
    check.answer
}

struct Check {
    answer: LoadAnswer,
}

impl Check {
    fn at_least(&mut self, answer: Answer) {
        self.answer.answer = self.answer.answer.max(answer);
    }

    fn ask(&mut self, what: &str, question: &str, clause: &str) {
        self.at_least(Answer::NotDetermined);
        self.answer.reasons.push(
            Reason::new(what, "not known")
                .clause(clause)
                .way_out(question),
        );
    }

    fn hold(&mut self, what: &str, value: &str, way_out: &str) {
        self.at_least(Answer::NotDetermined);
        self.answer
            .reasons
            .push(Reason::new(what, value).way_out(way_out));
    }

    fn forbid(&mut self, what: &str, value: &str, limit: &str, clause: &str, way_out: &str) {
        self.at_least(Answer::Forbidden);
        self.answer.reasons.push(
            Reason::new(what, value)
                .limit(limit)
                .clause(clause)
                .way_out(way_out),
        );
    }

    fn duties(&mut self, duties: &[Duty]) {
        self.answer
            .requirements
            .extend(duties.iter().map(|duty| RequirementDue {
                rule: duty.id.to_owned(),
                says: duty.says.to_owned(),
                clause: duty.clause.to_owned(),
            }));
    }

    /// What is wrong with the statement of the load itself.
    fn sensible(&mut self, load: &Load) {
        if load.goods.is_empty() {
            self.hold("goods", "none", "say what is loaded");
        }
        for goods in &load.goods {
            if goods.on == Standing::Trailer && !load.trailer {
                self.hold(
                    "goods on the trailer",
                    &format!("{}, but there is no trailer", goods.un),
                    "is there a trailer",
                );
            }
            if goods.net_mass_kg.as_thousandths() < 0
                || goods
                    .gross_mass_kg
                    .is_some_and(|gross| gross < goods.net_mass_kg)
            {
                self.hold(
                    "masses",
                    &format!("{}: gross below net, or below nothing", goods.un),
                    "weigh it again",
                );
            }
        }
    }

    fn adr(&mut self, load: &Load) {
        self.sensible(load);
        let mut by_category = [0_i64; 5];
        let mut whole = true;
        let mut category_zero = false;
        for goods in &load.goods {
            let Some(category) = self.category(goods) else {
                whole = false;
                continue;
            };
            category_zero |= category == 0;
            let sum = by_category.get_mut(usize::from(category)).and_then(|sum| {
                *sum = sum.checked_add(goods.net_mass_kg.as_thousandths())?;
                Some(())
            });
            if sum.is_none() {
                whole = false;
                self.hold("masses", "too large to add up", "look at the masses again");
            }
        }
        self.mixed(load);
        let within = self.points(&by_category, whole);
        self.answer.small_load = within && whole && !category_zero;
        if category_zero {
            self.answer.reasons.push(
                Reason::new("critical batteries", "aboard")
                    .limit("none on a small load: transport category 0")
                    .clause("ADR 2025, 1.1.3.6.3; 3.3 SP 677")
                    .way_out("carry it as a full load"),
            );
        }
        if whole && !within {
            let points = self
                .answer
                .points
                .map_or(String::new(), |points| points.to_string());
            self.answer.reasons.push(
                Reason::new("points of the load", points)
                    .limit(format!("{SMALL_LOAD_POINTS}; 333 kg of category 2 alone"))
                    .clause("ADR 2025, 1.1.3.6.3; 1.1.3.6.4")
                    .way_out("carry it as a full load, or on two journeys"),
            );
        }
        self.duties(ADR_ALWAYS);
        if self.answer.small_load {
            self.duties(ADR_SMALL);
            self.small_extinguisher(load);
        } else if whole || category_zero || !within {
            self.duties(ADR_FULL);
            self.extinguishers(load);
            self.driver(load);
            if load.tunnel == Some(Tunnel::E) {
                self.forbid(
                    "tunnel on the way",
                    "category E",
                    "none of category E with orange plates",
                    "ADR 2025, 8.6.4",
                    "choose a way round the tunnel, or make it a small load",
                );
            }
        }
    }

    /// The transport category of goods; where critical is not said, it is asked and no small load.
    fn category(&mut self, goods: &Goods) -> Option<u8> {
        let digits: String = goods.un.chars().filter(char::is_ascii_digit).collect();
        match known_goods(&digits) {
            Some((2, _)) => match goods.critical {
                Some(true) => Some(0),
                Some(false) => Some(2),
                None => {
                    self.ask(
                        "goods.critical",
                        &format!("is any battery of {} critical", goods.un),
                        "ADR 2025, 3.3 SP 677",
                    );
                    None
                }
            },
            Some((category, _)) => Some(category),
            None => match goods.category {
                Some(category @ 0..=4) => Some(category),
                _ => {
                    self.ask(
                        "goods.category",
                        &format!("which transport category does {} have", goods.un),
                        "ADR 2025, 1.1.3.6.3; 3.2 Table A, column 15",
                    );
                    None
                }
            },
        }
    }

    /// Writes the points and says whether they are few enough.
    fn points(&mut self, by_category: &[i64; 5], whole: bool) -> bool {
        let mut points = 0_i64;
        let mut kinds = 0;
        let mut alone = None;
        for (category, mass) in (0_u8..).zip(by_category) {
            let factor = factor_of(&category.to_string()).unwrap_or(0);
            let Some(sum) = mass
                .checked_mul(factor)
                .and_then(|part| points.checked_add(part))
            else {
                return false;
            };
            points = sum;
            if *mass > 0 && (1..=3).contains(&category) {
                kinds += 1;
                alone = most_of(category).map(|most| *mass <= most);
            }
        }
        if whole {
            self.answer.points = Some(Decimal::from_thousandths(points));
        }
        points <= i64::from(SMALL_LOAD_POINTS) * 1_000 && (kinds != 1 || alone == Some(true))
    }

    fn small_extinguisher(&mut self, load: &Load) {
        let clause = "ADR 2025, 8.1.4.2";
        match &load.vehicle.extinguishers_kg {
            None => self.ask(
                "vehicle.extinguishers_kg",
                "which fire extinguishers are aboard",
                clause,
            ),
            Some(aboard) if aboard.iter().all(|one| one.as_thousandths() < 2_000) => self.forbid(
                "fire extinguishers",
                &shown(aboard),
                "one of at least 2 kg",
                clause,
                "put one aboard before the journey",
            ),
            Some(_) => {}
        }
    }

    fn extinguishers(&mut self, load: &Load) {
        let clause = "ADR 2025, 8.1.4.1";
        let Some(aboard) = &load.vehicle.extinguishers_kg else {
            self.ask(
                "vehicle.extinguishers_kg",
                "which fire extinguishers are aboard",
                clause,
            );
            return;
        };
        let Some(mass) = load.vehicle.max_mass_kg else {
            self.ask(
                "vehicle.max_mass_kg",
                "what is the greatest permissible mass of vehicle and trailer",
                clause,
            );
            return;
        };
        let (total, one, limit) = match mass.as_thousandths() {
            ..=3_500_000 => (
                4_000,
                2_000,
                "two, together at least 4 kg, one of at least 2 kg",
            ),
            3_500_001..=7_500_000 => (
                8_000,
                6_000,
                "two, together at least 8 kg, one of at least 6 kg",
            ),
            _ => (
                12_000,
                6_000,
                "two, together at least 12 kg, one of at least 6 kg",
            ),
        };
        let sum: i64 = aboard
            .iter()
            .fold(0, |sum, next| next.as_thousandths().saturating_add(sum));
        let largest = aboard
            .iter()
            .map(|one| one.as_thousandths())
            .max()
            .unwrap_or(0);
        let smallest_counts = aboard
            .iter()
            .filter(|one| one.as_thousandths() >= 2_000)
            .count();
        if aboard.len() < 2 || sum < total || largest < one || smallest_counts < 2 {
            self.forbid(
                "fire extinguishers",
                &shown(aboard),
                limit,
                clause,
                "put the missing ones aboard before the journey",
            );
        }
    }

    fn driver(&mut self, load: &Load) {
        match load.driver_certificate {
            Some(true) => {}
            Some(false) => self.forbid(
                "driver's certificate",
                "none",
                "certificate of training, above a small load",
                "ADR 2025, 8.2.1",
                "send a driver who has one, or make it a small load",
            ),
            None => self.ask(
                "driver_certificate",
                "does the driver hold the certificate of training",
                "ADR 2025, 8.2.1",
            ),
        }
    }

    /// Batteries with label 9 or 9A beside goods with other labels.
    fn mixed(&mut self, load: &Load) {
        let clause = "ADR 2025, 7.5.2.1";
        let digits =
            |goods: &Goods| -> String { goods.un.chars().filter(char::is_ascii_digit).collect() };
        let ours = load.goods.iter().any(|goods| {
            known_goods(&digits(goods)).is_some_and(|(_, label)| label.starts_with('9'))
        });
        if !ours {
            return;
        }
        for goods in &load.goods {
            let number = digits(goods);
            if known_goods(&number).is_some() || matches!(number.as_str(), "2990" | "3072" | "3268")
            {
                continue;
            }
            let Some(labels) = &goods.labels else {
                self.ask(
                    "goods.labels",
                    &format!("which labels does {} carry", goods.un),
                    clause,
                );
                continue;
            };
            let explosive = labels.iter().any(|label| {
                let label = label.trim();
                label.starts_with('1') && label != "1.4S"
            });
            if explosive {
                self.forbid(
                    "goods loaded together",
                    &format!("{} with label {}", goods.un, labels.join(", ")),
                    "label 9 or 9A beside explosives only of 1.4S",
                    clause,
                    "load them on two vehicles",
                );
            }
        }
    }

    fn us(&mut self, load: &Load) {
        self.sensible(load);
        self.duties(US_ALWAYS);
        let gross = load.goods.iter().try_fold(0_i64, |sum, goods| {
            goods
                .gross_mass_kg
                .and_then(|gross| sum.checked_add(gross.as_thousandths()))
        });
        if let Some(gross) = gross
            && is_material_of_trade(load, gross)
        {
            self.answer.small_load = true;
            self.duties(TRADE);
            return;
        }
        self.duties(US_FULL);
        match gross {
            None => self.ask(
                "goods.gross_mass_kg",
                "what does the load weigh with its packaging",
                "49 CFR, 172.301(a)(3)",
            ),
            Some(gross) => self.big_load(load, gross),
        }
        self.bulk(load);
    }

    /// 4,000 kg of one kind, from one site, with nothing else (49 CFR 172.301(a)(3), read).
    fn big_load(&mut self, load: &Load, gross: i64) {
        let one_kind = load
            .goods
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if digits_of(&a.un) == digits_of(&b.un)));
        if gross >= 4_000_000
            && one_kind
            && load.loaded_at_one_site != Some(false)
            && load.other_freight != Some(true)
        {
            self.answer.requirements.push(RequirementDue {
                rule: "load-us-number-on-vehicle".to_owned(),
                says:
                    "4,000 kg or more of one number from one site, with nothing else aboard: the \
                       UN number stands on each side and each end of the vehicle."
                        .to_owned(),
                clause: "49 CFR text of 2016, 172.301(a)(3)".to_owned(),
            });
        }
    }

    /// A package over 400 kg net is a bulk packaging (letter of interpretation 23-0052).
    fn bulk(&mut self, load: &Load) {
        let clause = "49 CFR, 171.8; 172.504(f)(9); letter of interpretation 23-0052";
        for goods in &load.goods {
            match goods.heaviest_package_net_kg {
                Some(net) if net.as_thousandths() > 400_000 => {
                    self.answer.requirements.push(RequirementDue {
                        rule: "load-us-bulk-number".to_owned(),
                        says: format!(
                            "A package of more than 400 kg net ({}) is in bulk: its UN number \
                             stands on a placard, an orange panel or a white diamond.",
                            goods.un
                        ),
                        clause: clause.to_owned(),
                    });
                }
                None if goods.net_mass_kg.as_thousandths() > 400_000 => self.ask(
                    "goods.heaviest_package_net_kg",
                    &format!("does one package of {} hold more than 400 kg", goods.un),
                    clause,
                ),
                _ => {}
            }
        }
    }
}

/// 49 CFR 173.6 (read, text of 2013); the limit of 30 kg a package is second-hand. Whatever is not
/// known counts against the relief.
fn is_material_of_trade(load: &Load, gross: i64) -> bool {
    load.vehicle.private_carrier_for_own_trade == Some(true)
        && load.hazardous_waste == Some(false)
        && !load.goods.is_empty()
        && gross <= 200_000
        && load.goods.iter().all(|goods| {
            goods.damaged == Some(false)
                && goods.critical != Some(true)
                && goods
                    .heaviest_package_gross_kg
                    .or(goods.gross_mass_kg)
                    .is_some_and(|package| package.as_thousandths() <= 30_000)
        })
}

fn digits_of(un: &str) -> String {
    un.chars().filter(char::is_ascii_digit).collect()
}

fn shown(aboard: &[Grams]) -> String {
    if aboard.is_empty() {
        return "none".to_owned();
    }
    let shown: Vec<String> = aboard.iter().map(ToString::to_string).collect();
    shown.join(", ")
}
