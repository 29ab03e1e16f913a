//! Figures of a plan that no battery has: a slip between watt and kilowatt hours, a comma, a sign.
//! Each is refused by name before anything rests on it.

use super::Plan;
use crate::battery::{Module, Supply};
use crate::citation::Reason;
use crate::units::Millivolts;

/// Where low voltage ends, in millivolts of direct and of alternating current.
const LOW_VOLTAGE_MV: (i64, i64) = (1_500_000, 1_000_000);
const LOW_VOLTAGE: &str = "Directive 2014/35/EU, Article 1: 1500 V dc, 1000 V ac (from memory)";
/// No cell of lithium or sodium is above this, millivolts.
const NO_CELL_MV: i64 = 5_000;
/// Watt hours a kilogram, least and most that a module of any of these chemistries holds.
const DENSITY_WH_KG: (i128, i128) = (5, 500);
/// A module of more is a container, grams.
const HEAVIEST_G: i64 = 5_000_000;
/// Energy on the plate against voltage times capacity: rounding and usable energy stay inside.
const PLATE_FACTOR: i128 = 2;
const COMMON: &str = "common practice, no source";

/// What cannot be, each with its limit.
pub(super) fn impossible(plan: &Plan) -> Vec<Reason> {
    let mut faults = Vec::new();
    let mut fault = |what: String, value: String, limit: &str, clause: &str| {
        faults.push(
            Reason::new(what, value)
                .limit(limit)
                .clause(clause)
                .way_out("put the plan right"),
        );
    };
    let battery = &plan.installation;
    let highest = battery.max_voltage_v;
    if !within(highest, LOW_VOLTAGE_MV.0) {
        fault(
            "installation.max_voltage_v".into(),
            volts(highest),
            "above 0, at most 1500 V dc",
            LOW_VOLTAGE,
        );
    }
    if let Some(nominal) = battery.nominal_voltage_v
        && (nominal.as_thousandths() <= 0 || nominal > highest)
    {
        fault(
            "installation.nominal_voltage_v".into(),
            volts(nominal),
            "above 0 V, at most the highest voltage of the plan",
            "",
        );
    }
    for (what, value) in [
        (
            "rated_capacity_ah",
            battery.rated_capacity_ah.map(|one| one.decimal()),
        ),
        (
            "rated_energy_wh",
            battery.rated_energy_wh.map(|one| one.decimal()),
        ),
    ] {
        if let Some(value) = value
            && value <= crate::units::Decimal::whole(0)
        {
            fault(
                format!("installation.{what}"),
                value.to_string(),
                "above 0",
                "",
            );
        }
    }
    if battery.strings == 0 || battery.strings > 1_000 {
        fault(
            "installation.strings".into(),
            battery.strings.to_string(),
            "1 to 1000 in parallel",
            COMMON,
        );
    }
    if !matches!(battery.ac_phases, 0 | 1 | 3) {
        fault(
            "installation.ac_phases".into(),
            battery.ac_phases.to_string(),
            "0, 1 or 3",
            "",
        );
    }
    for source in &battery.sources {
        let (most, limit) = match source.supply {
            Supply::Dc => (LOW_VOLTAGE_MV.0, "above 0, at most 1500 V dc"),
            Supply::Ac => (LOW_VOLTAGE_MV.1, "above 0, at most 1000 V ac"),
        };
        if !within(source.nominal_voltage_v, most) {
            fault(
                format!("installation.sources.nominal_voltage_v of `{}`", source.id),
                volts(source.nominal_voltage_v),
                limit,
                LOW_VOLTAGE,
            );
        }
    }
    for one in &plan.instruments {
        if let (Some(low), Some(high)) = (one.proving_low_v, one.proving_high_v)
            && low > high
        {
            fault(
                format!("instruments.proving_low_v of `{}`", one.serial),
                format!("{low} V, proving_high_v {high} V"),
                "the lower not above the higher",
                "",
            );
        }
    }
    for module in &plan.modules {
        of_module(plan, module, &mut fault);
    }
    faults
}

type Fault<'f> = &'f mut dyn FnMut(String, String, &str, &str);

fn of_module(plan: &Plan, module: &Module, fault: Fault<'_>) {
    let named = |what: &str| format!("modules.{what} of `{}`", module.id);
    let highest = plan.installation.max_voltage_v;
    if let Some(nominal) = module.nominal_voltage_v
        && (nominal.as_thousandths() <= 0 || nominal > highest)
    {
        fault(
            named("nominal_voltage_v"),
            volts(nominal),
            "above 0 V, at most the highest voltage of the battery",
            "",
        );
    }
    if let Some(cells) = module.cells_in_series {
        if cells == 0 || cells > 1_000 {
            fault(
                named("cells_in_series"),
                cells.to_string(),
                "1 to 1000",
                COMMON,
            );
        } else if let Some(nominal) = module.nominal_voltage_v
            && nominal.as_thousandths() > i64::from(cells) * NO_CELL_MV
        {
            fault(
                named("nominal_voltage_v"),
                format!("{} of {cells} cells in series", volts(nominal)),
                "at most 5 V a cell of any lithium or sodium chemistry",
                COMMON,
            );
        }
    }
    let mass = module.net_mass_kg.map(|mass| mass.as_thousandths());
    if let Some(grams) = mass
        && !(1..=HEAVIEST_G).contains(&grams)
    {
        let value = module
            .net_mass_kg
            .map(|mass| format!("{} kg", mass.decimal()));
        fault(
            named("net_mass_kg"),
            value.unwrap_or_default(),
            "above 0 kg, at most 5000 kg",
            COMMON,
        );
    }
    let capacity = module.rated_capacity_ah.map(|one| one.as_thousandths());
    if let Some(ampere_hours) = capacity
        && ampere_hours <= 0
    {
        let value = module
            .rated_capacity_ah
            .map(|one| one.decimal().to_string());
        fault(
            named("rated_capacity_ah"),
            value.unwrap_or_default(),
            "above 0",
            "",
        );
    }
    if let Some(energy) = module.rated_energy_wh {
        let shown = format!("{} Wh", energy.decimal());
        let energy = i128::from(energy.as_thousandths());
        if energy <= 0 {
            fault(named("rated_energy_wh"), shown, "above 0 Wh", "");
            return;
        }
        // Milliwatt hours over grams are watt hours over kilograms.
        if let Some(grams) = mass.map(i128::from).filter(|grams| *grams > 0)
            && !(DENSITY_WH_KG.0 * grams..=DENSITY_WH_KG.1 * grams).contains(&energy)
        {
            fault(
                named("rated_energy_wh"),
                format!(
                    "{shown} in {} kg",
                    module
                        .net_mass_kg
                        .map(|kg| kg.decimal())
                        .unwrap_or(crate::units::Decimal::whole(0))
                ),
                "5 to 500 Wh a kilogram: is one of them in another unit?",
                COMMON,
            );
        }
        let product = module
            .nominal_voltage_v
            .zip(capacity)
            .map(|(nominal, capacity)| {
                i128::from(nominal.as_thousandths()) * i128::from(capacity) / 1_000
            })
            .filter(|product| *product > 0);
        if let Some(product) = product
            && (energy > product * PLATE_FACTOR || energy * PLATE_FACTOR < product)
        {
            fault(
                named("rated_energy_wh"),
                shown,
                &format!(
                    "about {} Wh, its voltage times its capacity",
                    product / 1_000
                ),
                COMMON,
            );
        }
    }
    if let Some(made) = module.made_on
        && made > plan.planned_on
    {
        fault(
            named("made_on"),
            made.to_string(),
            &format!("not after the day of the visit, {}", plan.planned_on),
            "",
        );
    }
}

fn within(volts: Millivolts, most: i64) -> bool {
    (1..=most).contains(&volts.as_thousandths())
}

fn volts(value: Millivolts) -> String {
    format!("{} V", value.decimal())
}
