//! What stands inside a package: how many, how heavy, how protected, and whether a package for
//! critical batteries lies within its report.

use crate::citation::Reason;
use crate::transport::facts::{Facts, Package};
use crate::transport::instruction::{Instruction, Items, Need, Outer};
use crate::transport::mark::PackagingMark;
use crate::transport::package::{NET_LIMITS, Trial, UNTESTED_NET_LIMIT};
use crate::units::{Grams, MilliPercent, MilliwattHours};

pub(super) fn number(
    facts: &Facts,
    package: &Package,
    instruction: &Instruction,
    trial: &mut Trial,
) {
    let most = match instruction.items {
        Items::Many | Items::AsVerified => return,
        Items::One => Some(1),
        // Where the mass is not known, the stricter number holds.
        Items::OneAbove(grams) => facts
            .item
            .net_mass_kg
            .is_none_or(|mass| mass.as_thousandths() > grams)
            .then_some(1),
    };
    let Some(most) = most else { return };
    match package.items {
        None => trial.ask("package.items", "how many batteries are in it"),
        Some(items) if items > most => trial.refuse(
            Reason::new("package.items", items.to_string())
                .limit(most.to_string())
                .clause(trial.clause())
                .way_out("the packer packs each battery in an outer packaging of its own"),
        ),
        Some(_) => {}
    }
}

pub(super) fn masses(
    facts: &Facts,
    package: &Package,
    instruction: &Instruction,
    mark: Option<&PackagingMark>,
    trial: &mut Trial,
) {
    let net_limit = match (instruction.outer, mark) {
        (Outer::Marked { .. }, Some(mark)) => NET_LIMITS
            .iter()
            .find(|(code, _)| *code == mark.code)
            .map(|(_, grams)| *grams),
        _ if instruction.may_exceed_400_kg => None,
        _ => Some(UNTESTED_NET_LIMIT),
    };
    let net_limit = [net_limit, instruction.max_net_grams]
        .into_iter()
        .flatten()
        .min();
    if let Some(limit) = net_limit {
        match facts.package_net() {
            None => trial.ask(
                "package.net_mass_kg",
                "what do the batteries in it weigh together",
            ),
            Some(net) if net.as_thousandths() > limit => trial.refuse(
                Reason::new("package.net_mass_kg", net.to_string())
                    .limit(Grams::thousandths(limit).to_string())
                    .clause("ADR 2025, 6.1.4; 49 CFR 178.504 to 178.517")
                    .way_out("the packer packs fewer batteries, or takes another packaging"),
            ),
            Some(_) => {}
        }
    }
    let Some(most) = mark.and_then(|mark| mark.gross_limit) else {
        return;
    };
    match package.gross_mass_kg {
        None => trial.ask(
            "package.gross_mass_kg",
            "what does the closed package weigh",
        ),
        Some(gross) if gross > most => trial.refuse(
            Reason::new("package.gross_mass_kg", gross.to_string())
                .limit(format!("{most} in the mark"))
                .clause("ADR 2025, 6.1.3.1; 49 CFR 178.503")
                .way_out("the packer takes a packaging with a higher mass in its mark"),
        ),
        Some(_) => {}
    }
}

pub(super) fn inside(
    facts: &Facts,
    package: &Package,
    need: Need,
    mark: Option<&PackagingMark>,
    trial: &mut Trial,
) {
    let inner = package.inner.as_ref();
    let cushioning = package.cushioning.as_ref();
    let stated = match need {
        Need::EachAlone => inner.and_then(|inner| inner.each_alone),
        Need::FullyEnclosed => inner.and_then(|inner| inner.fully_enclosed),
        Need::NonMetallicInner => inner.and_then(|inner| inner.non_metallic),
        Need::Leakproof => inner.and_then(|inner| inner.leakproof),
        Need::NonCombustible => cushioning.and_then(|fill| fill.non_combustible),
        Need::NonConductive => cushioning.and_then(|fill| fill.non_conductive),
        Need::AbsorbentIfLeaking if facts.item.leaking != Some(true) => return,
        Need::Absorbent | Need::AbsorbentIfLeaking => cushioning.and_then(|fill| fill.absorbent),
        Need::ThermalInsulation => cushioning.and_then(|fill| fill.thermal_insulation),
        Need::LinerInMetal if !mark.is_some_and(PackagingMark::is_metal) => return,
        Need::LinerInMetal => package.liner_non_conductive,
        Need::ShortCircuitProtected => package.short_circuit_protected,
        Need::Secured => package.secured,
        Need::NoLoadOnTerminals => package.load_on_terminals.map(|load| !load),
    };
    match (stated, need) {
        (Some(true), _) => {}
        // The outer may be the leak-proof one instead; that is not among the facts.
        (Some(false), Need::Leakproof) => trial.ask(
            need.fact(),
            "the inner packaging is not leak-proof: is the outer",
        ),
        (None, _) => trial.ask(need.fact(), need.words()),
        (Some(false), _) => trial.refuse(
            Reason::new(need.fact(), "no")
                .limit(need.words())
                .clause(trial.clause())
                .way_out("the packer puts that right and closes the package again"),
        ),
    }
}

/// A package for critical batteries must lie within its report in every number.
pub(super) fn verified(facts: &Facts, package: &Package, trial: &mut Trial) {
    let Some(data) = &package.verified else {
        trial.ask(
            "package.verified",
            "which verification report covers this package",
        );
        return;
    };
    if data
        .report
        .as_deref()
        .is_none_or(|report| report.trim().is_empty())
    {
        trial.ask(
            "package.verified.report",
            "what is the number of the report",
        );
    }
    if data.types.as_ref().is_none_or(Vec::is_empty) {
        trial.ask(
            "package.verified.types",
            "which battery types does the report name",
        );
    }
    match (package.items, data.max_items) {
        (Some(items), Some(most)) if items > most => trial.refuse(
            Reason::new("package.items", items.to_string())
                .limit(format!("{most} in the report"))
                .clause(trial.clause())
                .way_out("the packer packs no more than the report covers"),
        ),
        (Some(_), Some(_)) => {}
        (None, _) => trial.ask("package.items", "how many batteries are in it"),
        (_, None) => trial.ask(
            "package.verified.max_items",
            "how many batteries does the report cover",
        ),
    }
    let energy = facts
        .item
        .rated_energy_wh
        .zip(package.items)
        .and_then(|(one, items)| one.as_thousandths().checked_mul(i64::from(items)));
    match (energy, data.max_energy_wh) {
        (Some(energy), Some(most)) if energy > most.as_thousandths() => trial.refuse(
            Reason::new(
                "energy in the package",
                MilliwattHours::thousandths(energy).to_string(),
            )
            .limit(format!("{most} in the report"))
            .clause(trial.clause())
            .way_out("the packer takes a package verified for this energy"),
        ),
        (Some(_), Some(_)) => {}
        (None, _) => trial.ask(
            "item.rated_energy_wh",
            "what rated energy in Wh does the nameplate state, and how many batteries are in it",
        ),
        (_, None) => trial.ask(
            "package.verified.max_energy_wh",
            "what energy does the report cover",
        ),
    }
    // A state of charge that is not known counts as full (evaluation note of the instruction).
    let charge = facts
        .item
        .state_of_charge_percent
        .map_or(MilliPercent::thousandths(100_000), |charge| charge.high);
    match data.max_state_of_charge_percent {
        None => trial.ask(
            "package.verified.max_state_of_charge_percent",
            "what state of charge does the report cover",
        ),
        Some(most) if charge > most => trial.refuse(
            Reason::new("highest state of charge", charge.to_string())
                .limit(format!("{most} in the report"))
                .clause(trial.clause())
                .way_out("the packer takes a package verified for this state of charge"),
        ),
        Some(_) => {}
    }
}
