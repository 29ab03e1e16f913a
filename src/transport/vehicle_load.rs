//! What a vehicle, unit or consignment with this load must have, and whether it is a small load: for
//! the loader before the doors close. On the road goods on vehicle and trailer count together, by the
//! mass of the articles.

use chrono::NaiveDate;

use crate::citation::Reason;
use crate::transport::decision::{Answer, RequirementDue, Words};
use crate::transport::document_words::digits_of;
use crate::transport::edition::Edition;
use crate::transport::facts::{Mode, Regime};
use crate::transport::load_form::{Goods, Load, LoadAnswer, Standing, Tunnel};
use crate::transport::rule_set::rule_set;
use crate::transport::vehicle_rows::{
    CATEGORIES, Category, Due, EXTINGUISHERS, GOODS, LoadLaw, LoadRule, NEXT_EDITION_FROM,
    NEXT_EDITION_ROAD, SMALL_EXTINGUISHER, SMALL_LOAD, load_rules,
};
use crate::units::{Decimal, Grams};

/// The factor of a transport category (ADR 2025, 1.1.3.6.4, read); `None` for category 0, which a
/// small load must not have.
pub(crate) fn factor_of(category: &str) -> Option<i64> {
    let number: u8 = category.parse().ok()?;
    category_of(number)?.factor
}

fn category_of(number: u8) -> Option<&'static Category> {
    CATEGORIES.iter().find(|one| one.number == number)
}

/// Points of goods by the mass of each transport category 0 to 4, in thousandths, and whether they are
/// few enough for a small load; `None` where they are too many to add up.
pub(crate) fn points_of(by_category: &[i64; 5]) -> Option<(Decimal, bool)> {
    let mut points = 0_i64;
    let mut kinds = 0;
    let mut alone = None;
    for (category, mass) in (0_u8..).zip(by_category) {
        let factor = factor_of(&category.to_string()).unwrap_or(0);
        points = points.checked_add(mass.checked_mul(factor)?)?;
        if *mass > 0 && (1..=3).contains(&category) {
            kinds += 1;
            alone = category_of(category)
                .and_then(|one| one.most)
                .map(|most| *mass <= most);
        }
    }
    let few = points <= SMALL_LOAD.thousandths() && (kinds != 1 || alone == Some(true));
    Some((Decimal::from_thousandths(points), few))
}

/// The most that a small load may carry, in words, and the clause.
pub(crate) fn small_load_limit() -> (String, String) {
    let most = format!("{}; 333 kg of category 2 alone", SMALL_LOAD.limit_words());
    (most, SMALL_LOAD.cited())
}

fn known_goods(digits: &str) -> Option<(u8, &'static str)> {
    GOODS
        .iter()
        .find(|one| one.digits == digits)
        .map(|one| (one.category, one.label))
}

/// The answer for the load.
#[must_use]
pub fn check_load(load: &Load) -> LoadAnswer {
    let mut check = Check {
        answer: LoadAnswer {
            answer: Answer::AllowedWith,
            edition: Words::Borrowed(""),
            rule_set: Words::Borrowed(rule_set().name()),
            points: None,
            small_load: false,
            requirements: Vec::new(),
            reasons: Vec::new(),
        },
    };
    let Some(on) = load.on else {
        check.ask("on", "on which day does it travel", "");
        return check.answer;
    };
    let mode = load.mode.unwrap_or(match load.regime {
        Regime::Rid => Mode::Rail,
        Regime::Imdg => Mode::Sea,
        Regime::Air => Mode::CargoAircraft,
        Regime::Adr | Regime::Cfr49 => Mode::Road,
    });
    let Some(edition) = Edition::of(load.regime, mode, on) else {
        check.hold(
            "rules for loads",
            &format!("none encoded for {} by {mode} on {on}", load.regime),
            "ask the compliance officer; this rule set does not answer for it",
        );
        return check.answer;
    };
    check.answer.edition = Words::Borrowed(edition.name());
    match edition {
        Edition::Adr2025 => check.adr(load, on),
        Edition::Rid2025 => check.rail(load, on),
        Edition::Imdg42 => check.sea(load, on),
        Edition::Air2025 | Edition::Air2026 => check.air(load, mode),
        Edition::Cfr49Of2022 => match mode {
            Mode::CargoAircraft | Mode::PassengerAircraft => check.aircraft(load, mode),
            Mode::Rail | Mode::Road | Mode::Sea => check.us(load, mode),
        },
        Edition::Adr2023 | Edition::Rid2023 => check.hold(
            "loads under an edition that has ended",
            &format!("not covered here for {}", edition.name()),
            "the compliance officer judges by the text of that edition; `packdown classify` names \
             the duties of each package",
        ),
    }
    check.placards(load);
    check.answer
}

pub(super) struct Check {
    pub(super) answer: LoadAnswer,
}

impl Check {
    pub(super) fn at_least(&mut self, answer: Answer) {
        self.answer.answer = self.answer.answer.max(answer);
    }

    pub(super) fn ask(&mut self, what: &str, question: &str, clause: &str) {
        self.at_least(Answer::NotDetermined);
        self.answer.reasons.push(
            Reason::new(what, "not known")
                .clause(clause)
                .way_out(question),
        );
    }

    pub(super) fn hold(&mut self, what: &str, value: &str, way_out: &str) {
        self.at_least(Answer::NotDetermined);
        self.answer
            .reasons
            .push(Reason::new(what, value).way_out(way_out));
    }

    pub(super) fn forbid(
        &mut self,
        what: &str,
        value: &str,
        limit: &str,
        clause: &str,
        way_out: &str,
    ) {
        self.at_least(Answer::Forbidden);
        self.answer.reasons.push(
            Reason::new(what, value)
                .limit(limit)
                .clause(clause)
                .way_out(way_out),
        );
    }

    /// Model 9A is a label and never a placard.
    fn placards(&mut self, load: &Load) {
        let shown = load.placards.iter().flatten().any(|shown| {
            let shown = shown.trim();
            shown.eq_ignore_ascii_case("9A")
        });
        if shown {
            let clause = match load.regime {
                Regime::Adr => "ADR 2025, 5.3.1.1.4",
                Regime::Rid => "RID 2025, 5.3.1.1.4",
                Regime::Imdg => "IMDG 42-24, 5.3.1, as ADR 2025, 5.3.1.1.4, which was read",
                Regime::Air | Regime::Cfr49 => "49 CFR, 172.102(c)(1), SP 422; 172.560",
            };
            self.forbid(
                "placard",
                "model 9A",
                "model 9 where a placard is shown; 9A is a label of packages",
                clause,
                "the loader takes it off, and puts model 9 there where one is due",
            );
        }
    }

    pub(super) fn due(&mut self, rule: &LoadRule) {
        self.answer.requirements.push(RequirementDue {
            rule: rule.id.into(),
            says: rule.says.into(),
            clause: rule.cited().into(),
        });
    }

    /// Every duty of one law that is due at this point.
    pub(super) fn duties(&mut self, law: LoadLaw, due: Due) {
        for rule in load_rules() {
            if rule.law == law && rule.due == due {
                self.due(rule);
            }
        }
    }

    /// What is wrong with the statement of the load itself.
    pub(super) fn sensible(&mut self, load: &Load) {
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

    fn adr(&mut self, load: &Load, on: NaiveDate) {
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
        self.mixed(load, "ADR 2025, 7.5.2.1");
        let within = self.points(&by_category, whole);
        self.answer.small_load = within && whole && !category_zero;
        if category_zero {
            self.answer.reasons.push(
                Reason::new("critical batteries", "aboard")
                    .limit("none on a small load: transport category 0")
                    .clause("ADR 2025, 1.1.3.6.3; 3.3 SP 677")
                    .way_out("the carrier takes it as a full load"),
            );
        }
        if whole && !within {
            let points = self
                .answer
                .points
                .map_or(String::new(), |points| points.to_string());
            let (limit, clause) = small_load_limit();
            self.answer.reasons.push(
                Reason::new("points of the load", points)
                    .limit(limit)
                    .clause(clause)
                    .way_out("the carrier takes it as a full load, or on two journeys"),
            );
        }
        self.duties(LoadLaw::Adr, Due::Always);
        if on >= NEXT_EDITION_FROM {
            self.due(&NEXT_EDITION_ROAD);
        }
        if self.answer.small_load {
            self.duties(LoadLaw::Adr, Due::SmallLoad);
            self.small_extinguisher(load);
        } else if whole || category_zero || !within {
            self.duties(LoadLaw::Adr, Due::FullLoad);
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
        let digits = digits_of(&goods.un);
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
        let Some((points, few)) = points_of(by_category) else {
            return false;
        };
        if whole {
            self.answer.points = Some(points);
        }
        few
    }

    fn small_extinguisher(&mut self, load: &Load) {
        let clause = SMALL_EXTINGUISHER.clause;
        let least = SMALL_EXTINGUISHER.thousandths();
        match &load.vehicle.extinguishers_kg {
            None => self.ask(
                "vehicle.extinguishers_kg",
                "which fire extinguishers are aboard",
                clause,
            ),
            Some(aboard) if aboard.iter().all(|one| one.as_thousandths() < least) => self.forbid(
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
        let Some(class) = EXTINGUISHERS
            .iter()
            .find(|class| mass.as_thousandths() <= class.up_to)
        else {
            return;
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
            .filter(|one| one.as_thousandths() >= SMALL_EXTINGUISHER.thousandths())
            .count();
        if sum < class.together || largest < class.largest || smallest_counts < 2 {
            self.forbid(
                "fire extinguishers",
                &shown(aboard),
                class.says,
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
    pub(super) fn mixed(&mut self, load: &Load, clause: &str) {
        let ours = load.goods.iter().any(|goods| {
            known_goods(&digits_of(&goods.un)).is_some_and(|(_, label)| label.starts_with('9'))
        });
        if !ours {
            return;
        }
        for goods in &load.goods {
            let number = digits_of(&goods.un);
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
}

fn shown(aboard: &[Grams]) -> String {
    if aboard.is_empty() {
        return "none".to_owned();
    }
    let shown: Vec<String> = aboard.iter().map(ToString::to_string).collect();
    shown.join(", ")
}
