//! One battery over several legs: each leg's own decision, and the package that is good on all of
//! them, or what stands between the legs.
//!
//! Nothing is reasoned out twice: each packaging that there is is described as well as it can be
//! filled, and asked of the decision of every leg.

use chrono::Datelike as _;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::transport::decide::decide_untraced;
use crate::transport::decision::{Answer, Decision, MarkDue};
use crate::transport::edition::{Edition, mode_of};
use crate::transport::facts::{
    Cushioning, Facts, Inner, Package, PackageKind, StateOfCharge, Verified,
};
use crate::transport::instruction::{Group, Instruction, Items, Need, Outer};
use crate::transport::package::PackageAnswer;
use crate::transport::rule::Effect;
use crate::transport::rule_set::rule_set;
use crate::units::{Grams, MilliPercent};

/// One leg as it is named to a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LegPacking {
    /// Regime and mode, such as `adr road`.
    pub leg: String,
    /// The instructions by which the package is good on this leg, joined by `or`.
    pub instruction: String,
}

/// The package that is good on every leg.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RoutePackage {
    /// `accepted` where there is one, `refused` where the legs contradict, `not_determined` while a
    /// leg is open.
    pub answer: PackageAnswer,
    /// Codes of packagings with a UN mark that are good on every leg.
    pub codes: Vec<String>,
    /// The weakest letter of the mark that is good on every leg.
    pub group: Option<Group>,
    /// Where no packaging with a mark is good on every leg: kinds without one that are.
    pub kinds: Vec<PackageKind>,
    /// Whether each battery needs an outer packaging of its own.
    pub one_each: bool,
    /// What must be true inside, by the strictest leg.
    pub needs: Vec<String>,
    /// By which instructions it is good on each leg.
    pub instructions: Vec<LegPacking>,
    /// Marks of all legs, each at its greatest height.
    pub marks: Vec<MarkDue>,
    /// Labels of all legs.
    pub labels: Vec<String>,
    /// What stands against it.
    pub reasons: Vec<Reason>,
}

/// The answer for a route.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RouteAnswer {
    /// Name of the battery, as given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// The strictest answer of all legs.
    pub answer: Answer,
    /// The package for all legs.
    pub package: RoutePackage,
    /// The decision of each leg, in the order of the route.
    pub legs: Vec<Decision>,
}

/// Decides each leg and looks for the package that is good on all.
#[must_use]
pub fn decide_route(legs: &[Facts]) -> RouteAnswer {
    let decisions: Vec<Decision> = legs.iter().map(decide_untraced).collect();
    let answer = decisions
        .iter()
        .map(|decision| decision.answer)
        .max()
        .unwrap_or(Answer::NotDetermined);
    RouteAnswer {
        id: legs.first().and_then(|facts| facts.id.clone()),
        answer,
        package: package_for_all(legs, &decisions),
        legs: decisions,
    }
}

fn package_for_all(legs: &[Facts], decisions: &[Decision]) -> RoutePackage {
    let mut found = RoutePackage {
        answer: PackageAnswer::NotDetermined,
        codes: Vec::new(),
        group: None,
        kinds: Vec::new(),
        one_each: false,
        needs: Vec::new(),
        instructions: Vec::new(),
        marks: Vec::new(),
        labels: Vec::new(),
        reasons: Vec::new(),
    };
    for (facts, decision) in legs.iter().zip(decisions) {
        let words = match decision.answer {
            Answer::Forbidden => "forbidden",
            Answer::NotDetermined => "not determined",
            Answer::Allowed | Answer::AllowedWith => continue,
        };
        found.reasons.push(
            Reason::new(leg_name(facts), words)
                .way_out("settle this leg first, or take it out of the route: see its reasons"),
        );
    }
    if legs.is_empty() || !found.reasons.is_empty() {
        return found;
    }
    let instructions: Vec<Vec<&'static Instruction>> =
        decisions.iter().map(instructions_of).collect();
    gather_marks(decisions, &mut found);
    for group in [Group::Y, Group::X] {
        found.codes = codes(&instructions)
            .into_iter()
            .filter(|code| good_on_all(legs, &marked(code, group)))
            .map(str::to_owned)
            .collect();
        if !found.codes.is_empty() {
            found.group = Some(group);
            break;
        }
    }
    if found.codes.is_empty() {
        found.kinds = [
            PackageKind::StrongOuter,
            PackageKind::ProtectiveEnclosure,
            PackageKind::OpenCrate,
            PackageKind::Pallet,
        ]
        .into_iter()
        .filter(|kind| good_on_all(legs, &of_kind(*kind)))
        .collect();
    }
    if found.codes.is_empty() && found.kinds.is_empty() {
        found.answer = PackageAnswer::Refused;
        say_the_conflict(legs, &instructions, &mut found);
        return found;
    }
    found.answer = PackageAnswer::Accepted;
    name_what_it_owes(legs, &instructions, &mut found);
    found
}

fn leg_name(facts: &Facts) -> String {
    let mode = mode_of(facts.regime, facts.mode);
    mode.map_or_else(
        || facts.regime.to_string(),
        |mode| format!("{} {}", facts.regime, mode.name().replace('_', " ")),
    )
}

/// The instructions that a decision allows, as they stand in its edition.
fn instructions_of(decision: &Decision) -> Vec<&'static Instruction> {
    let edition = Edition::ALL
        .into_iter()
        .find(|edition| edition.name() == decision.edition);
    let Some(edition) = edition else {
        return Vec::new();
    };
    let mut found: Vec<&'static Instruction> = Vec::new();
    for rule in rule_set().rules() {
        if rule.place(edition).is_none() {
            continue;
        }
        for effect in rule.effects {
            if let Effect::Packing(instruction) = effect
                && decision
                    .packing_instructions
                    .iter()
                    .any(|name| name == instruction.name)
                && !found.contains(instruction)
            {
                found.push(instruction);
            }
        }
    }
    found
}

/// Every code that an instruction of some leg names, in the order of first naming.
fn codes(instructions: &[Vec<&'static Instruction>]) -> Vec<&'static str> {
    let mut found = Vec::new();
    for instruction in instructions.iter().flatten() {
        if let Outer::Marked { codes, .. } = instruction.outer {
            for code in codes.iter().copied().flatten() {
                if !found.contains(code) {
                    found.push(*code);
                }
            }
        }
    }
    found
}

/// A package with this mark, filled as well as can be; made for the day on which it is packed.
fn marked(code: &str, group: Group) -> impl Fn(&Facts) -> Package {
    let large = code.starts_with("50") || code.starts_with("51");
    let letter = group.letter();
    let code = code.to_owned();
    move |facts| {
        let year = facts.on.map_or(0, |on| on.year() % 100);
        let mark = if large {
            format!("UN {code}/{letter}/01 {year:02}/GB/0000/5000/2000")
        } else {
            format!("UN {code}/{letter}400/S/{year:02}/GB/0000")
        };
        Package {
            kind: Some(if large {
                PackageKind::LargePackaging
            } else {
                PackageKind::UnPackaging
            }),
            mark: Some(mark),
            ..filled(facts)
        }
    }
}

fn of_kind(kind: PackageKind) -> impl Fn(&Facts) -> Package {
    move |facts| Package {
        kind: Some(kind),
        ..filled(facts)
    }
}

/// One battery, with everything inside that any instruction asks for.
fn filled(facts: &Facts) -> Package {
    let yes = Some(true);
    let net = facts.item.net_mass_kg;
    Package {
        items: Some(1),
        net_mass_kg: net,
        // A box and its filling; the mark of the true packaging is looked at when it is packed.
        gross_mass_kg: net.map(|net| Grams::thousandths(net.as_thousandths().saturating_add(1))),
        inner: Some(Inner {
            each_alone: yes,
            fully_enclosed: yes,
            non_metallic: yes,
            leakproof: yes,
        }),
        cushioning: Some(Cushioning {
            non_combustible: yes,
            non_conductive: yes,
            absorbent: yes,
            thermal_insulation: yes,
        }),
        liner_non_conductive: yes,
        short_circuit_protected: yes,
        secured: yes,
        load_on_terminals: Some(false),
        verified: Some(Verified {
            report: Some("to be shown".to_owned()),
            types: Some(vec!["this one".to_owned()]),
            max_items: Some(1),
            max_energy_wh: facts.item.rated_energy_wh,
            max_state_of_charge_percent: Some(facts.item.state_of_charge_percent.map_or(
                MilliPercent::thousandths(100_000),
                |StateOfCharge { high, .. }| high,
            )),
        }),
        packed_on: facts.on,
        ..Package::default()
    }
}

fn is_good(facts: &Facts, package: Package) -> bool {
    let mut facts = facts.clone();
    facts.package = Some(package);
    decide_untraced(&facts).package.answer == PackageAnswer::Accepted
}

fn good_on_all(legs: &[Facts], package: &impl Fn(&Facts) -> Package) -> bool {
    legs.iter().all(|facts| is_good(facts, package(facts)))
}

fn gather_marks(decisions: &[Decision], found: &mut RoutePackage) {
    for decision in decisions {
        for due in &decision.marks {
            match found.marks.iter_mut().find(|mark| mark.text == due.text) {
                Some(mark) => mark.min_height_mm = mark.min_height_mm.max(due.min_height_mm),
                None => found.marks.push(due.clone()),
            }
        }
        for label in &decision.labels {
            if !found.labels.iter().any(|known| known == label) {
                found.labels.push(label.to_string());
            }
        }
    }
}

/// The instructions of a leg that accept such an outer packaging.
fn that_accept(
    instructions: &[&'static Instruction],
    found: &RoutePackage,
) -> Vec<&'static Instruction> {
    let accepts = |one: &Instruction| match one.outer {
        Outer::Marked { codes, .. } => codes
            .iter()
            .copied()
            .flatten()
            .any(|code| found.codes.iter().any(|good| good == code)),
        Outer::Unmarked(kinds) => {
            found.kinds.iter().any(|kind| kinds.contains(kind))
                || (!found.codes.is_empty() && kinds.contains(&PackageKind::UnPackaging))
        }
        Outer::AsApproved => false,
    };
    instructions
        .iter()
        .copied()
        .filter(|one| accepts(one))
        .collect()
}

fn name_what_it_owes(
    legs: &[Facts],
    instructions: &[Vec<&'static Instruction>],
    found: &mut RoutePackage,
) {
    let mut needs: Vec<Need> = Vec::new();
    for (facts, of_leg) in legs.iter().zip(instructions) {
        let accepting = that_accept(of_leg, found);
        let names: Vec<&str> = accepting.iter().map(|one| one.name).collect();
        found.instructions.push(LegPacking {
            leg: leg_name(facts),
            instruction: names.join(" or "),
        });
        for instruction in accepting {
            found.one_each |= match instruction.items {
                Items::One => true,
                Items::OneAbove(grams) => facts
                    .item
                    .net_mass_kg
                    .is_none_or(|net| net.as_thousandths() > grams),
                Items::AsVerified | Items::Many => false,
            };
            needs.extend(instruction.needs);
            let words = "within its verification report in number, mass, energy and charge";
            if instruction.verified && !found.needs.iter().any(|need| need == words) {
                found.needs.push(words.to_owned());
            }
        }
    }
    needs.sort_unstable();
    needs.dedup();
    let words = needs.iter().map(|need| need.words().to_owned());
    found.needs.extend(words);
}

/// What each leg by itself would take: where no packaging is in every list, the legs contradict.
fn say_the_conflict(
    legs: &[Facts],
    instructions: &[Vec<&'static Instruction>],
    found: &mut RoutePackage,
) {
    for (facts, of_leg) in legs.iter().zip(instructions) {
        let mut takes: Vec<String> = Vec::new();
        for code in codes(instructions) {
            if is_good(facts, marked(code, Group::X)(facts)) {
                takes.push(code.to_owned());
            }
        }
        let names: Vec<&str> = of_leg.iter().map(|one| one.name).collect();
        let clauses: Vec<&str> = of_leg.iter().map(|one| one.clause).collect();
        found.reasons.push(
            Reason::new(
                leg_name(facts),
                if takes.is_empty() {
                    "no packaging with a UN mark by itself".to_owned()
                } else {
                    takes.join(" ")
                },
            )
            .limit(format!(
                "a package good on every leg; here {}",
                names.join(", ")
            ))
            .clause(clauses.join("; "))
            .way_out("the packer repacks it between the legs, or the route is changed"),
        );
    }
}
