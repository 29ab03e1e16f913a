//! The materials of a job's modules, taken from plan and record.

use super::content::{DatedTarget, FORMAT, MaterialLine, Materials, ModuleContent, Total};
use crate::battery::{Cathode, Chemistry, Purpose, Variant};
use crate::citation::Reason;
use crate::job::Job;
use crate::physics::{
    CellKind, MaterialRange, Recycled, TabledCell, module_materials, recycling_targets,
};
use crate::units::{Decimal, Grams};

/// Why there is no such paper; empty where the modules go to recycling.
pub(crate) fn not_for_recycling(job: &Job) -> Vec<Reason> {
    let purpose = job.plan().purpose;
    if purpose == Purpose::Recycling {
        return Vec::new();
    }
    vec![
        Reason::new("purpose of the job", purpose.words())
            .limit(Purpose::Recycling.words())
            .clause("Delegated Regulation (EU) 2025/606, Annex, 1(7) and 5(3) (read)")
            .way_out("no recycler gets these modules; plan a job for recycling if one does"),
    ]
}

/// What the modules that leave the site are made of.
pub(crate) fn materials_of(job: &Job) -> Materials {
    let plan = job.plan();
    let (kinds, cells) = cells(job);
    let modules: Vec<ModuleContent> = (0..job.frame().modules.len())
        .filter(|module| job.progress().left_behind(*module).is_none())
        .map(|module| content(job, module, kinds))
        .collect();
    let recycled = match plan.installation.chemistry {
        Chemistry::SodiumIonAqueous | Chemistry::SodiumIonOrganic | Chemistry::SodiumMetal => {
            Recycled::Other
        }
        _ => Recycled::Lithium,
    };
    Materials {
        format: FORMAT,
        job: plan.job.clone(),
        demo: plan.demo,
        from: format!("{}, {}", plan.consignor.name, plan.consignor.address),
        to: format!("{}, {}", plan.consignee.name, plan.consignee.address),
        on: plan.planned_on,
        chemistry: cells.to_owned(),
        tables: kinds.iter().map(|kind| kind.name()).collect(),
        how: how(job, kinds, &modules),
        total: total(&modules),
        targets: recycling_targets(recycled)
            .into_iter()
            .map(|target| DatedTarget {
                of: target.what,
                percent: target.percent.to_string(),
                by: target.by,
                how_known: target.how_known,
            })
            .collect(),
        duties: DUTIES.map(str::to_owned).to_vec(),
        not_known: not_known(job, kinds, &modules),
        modules,
    }
}

/// Cells whose tables bound the composition, and what the plate says in words.
fn cells(job: &Job) -> (&'static [TabledCell], &'static str) {
    let installation = &job.plan().installation;
    if job.cell_kind() == CellKind::Lto {
        return (&[], "lithium ion with lithium titanate (LTO)");
    }
    match (installation.chemistry, installation.cathode) {
        (Chemistry::LithiumIon, Cathode::Lfp) => (
            &[TabledCell::Lfp],
            "lithium ion, lithium iron phosphate (LFP)",
        ),
        (Chemistry::LithiumIon, Cathode::Nmc) => (
            &[
                TabledCell::Nmc111,
                TabledCell::Nmc532,
                TabledCell::Nmc622,
                TabledCell::Nmc811,
            ],
            "lithium ion, nickel manganese cobalt oxide (NMC) of unknown ratio",
        ),
        (Chemistry::LithiumIon, Cathode::Nca) => (
            &[TabledCell::Nca],
            "lithium ion, nickel cobalt aluminium oxide (NCA)",
        ),
        (Chemistry::LithiumIon, Cathode::Lco) => (&[], "lithium ion, lithium cobalt oxide (LCO)"),
        (Chemistry::LithiumIon, Cathode::Lmo) => {
            (&[], "lithium ion, lithium manganese oxide (LMO)")
        }
        (Chemistry::LithiumIon, Cathode::Unknown) => (&[], "lithium ion, electrode not known"),
        (Chemistry::SodiumIonOrganic | Chemistry::SodiumIonAqueous, _) => (&[], "sodium ion"),
        _ => (&[], "not one that this program has a table for"),
    }
}

/// Stacks and hybrids at homes are what the inventory by mass was made of.
fn is_home(job: &Job) -> bool {
    matches!(
        job.plan().installation.variant,
        Variant::AcCoupledStack | Variant::DcCoupledHybrid
    )
}

fn content(job: &Job, module: usize, kinds: &[TabledCell]) -> ModuleContent {
    let planned = job.frame().modules.get(module);
    let (serial, serial_proved) = job.identity(module);
    let mass = job.net_mass(module);
    let energy = planned.and_then(|one| one.rated_energy_wh);
    let sheet = job.sheet(module);
    // An amount that is not above 0 is refused with the plan.
    let found = module_materials(kinds, energy, mass.filter(|_| is_home(job)));
    ModuleContent {
        module: sheet.module,
        serial,
        serial_proved,
        model: sheet.model,
        made_on: planned.and_then(|one| one.made_on),
        net_mass_kg: mass,
        weighed: job.weighed_mass(module).is_some(),
        rated_energy_wh: energy,
        soundness: job.soundness(module).word(),
        package: sheet.package,
        materials: found.unwrap_or_default().into_iter().map(line).collect(),
    }
}

fn line(range: MaterialRange) -> MaterialLine {
    MaterialLine {
        from: from(range.by_energy, range.by_mass),
        material: range.material,
        low_kg: range.low_kg,
        high_kg: range.high_kg,
    }
}

const fn from(by_energy: bool, by_mass: bool) -> &'static str {
    match (by_energy, by_mass) {
        (true, true) => "energy and mass",
        (_, true) => "mass",
        _ => "energy",
    }
}

fn total(modules: &[ModuleContent]) -> Total {
    let mut materials: Vec<MaterialLine> = Vec::new();
    for one in modules.iter().flat_map(|module| &module.materials) {
        match materials
            .iter_mut()
            .find(|sum| sum.material == one.material)
        {
            Some(sum) => {
                sum.low_kg = plus(sum.low_kg, one.low_kg);
                sum.high_kg = plus(sum.high_kg, one.high_kg);
                let has = |word: &str| sum.from.contains(word) || one.from.contains(word);
                sum.from = from(has("energy"), has("mass"));
            }
            None => materials.push(one.clone()),
        }
    }
    let masses: Vec<Grams> = modules.iter().filter_map(|one| one.net_mass_kg).collect();
    Total {
        modules: modules.len(),
        with_mass: masses.len(),
        net_mass_kg: masses
            .iter()
            .try_fold(Grams::default(), |sum, mass| sum.plus(*mass))
            .unwrap_or_default(),
        with_materials: modules
            .iter()
            .filter(|module| !module.materials.is_empty())
            .count(),
        materials,
    }
}

/// Both are whole grams.
fn plus(a: Decimal, b: Decimal) -> Decimal {
    let grams = |value: Decimal| value.thousandths().unwrap_or(0);
    Decimal::from_thousandths(grams(a).saturating_add(grams(b)))
}

fn how(job: &Job, kinds: &[TabledCell], modules: &[ModuleContent]) -> Vec<String> {
    if kinds.is_empty() {
        return Vec::new();
    }
    let mut how = vec![
        "Each figure is a range, never a measurement: the true amount of a cell like those tabled \
         lies in it; a maker's declared composition, or a battery passport, goes before it."
            .to_owned(),
        "From the rated energy: kilograms for each kWh of cells, from low to high energy density \
         (inventories of Dai et al. 2019, doi 10.3390/batteries5020048, and Crenna et al. 2021, \
         doi 10.1016/j.resconrec.2021.105619, in open files; read). Cells only: no casing, no board."
            .to_owned(),
    ];
    if modules
        .iter()
        .any(|one| one.materials.iter().any(|m| m.from.contains("mass")))
    {
        how.push(
            "From the mass: shares of a home-storage module of 63 % cells, 34 % steel and 3 % board \
             (Jasper et al., in an open file; read), 10 % to each side. Where both ways say something \
             the range covers both."
                .to_owned(),
        );
    } else if !is_home(job) {
        how.push(
            "The mass gives nothing here: the inventory by mass is of home-storage modules."
                .to_owned(),
        );
    }
    how
}

/// What (EU) 2025/606 asks; read in its full text.
const DUTIES: [&str; 5] = [
    "Input counts without water, with casing, cables that are part of the battery, screens and \
     boards, and parts that were taken off in preparation, even if they go to other recycling \
     (Annex, 1(2)).",
    "Black mass is an intermediate product and never an output (Annex, 1(5)).",
    "The first recycler is who begins on modules or cells. Who only collects, stores, handles or \
     dismantles is not one, but gives him these data (Annex, 1(7) and 5(3)).",
    "Until 31 December 2029 oxygen, carbon and iron of the cell, phosphorus, chlorine and sulphur \
     may be counted on both sides; from 1 January 2030 carbon, iron and phosphorus shall be \
     (Annex, 2(5) and 2(6)).",
    "Rates are reported by the year: efficiency = output / input x 100, recovery of a material = its \
     output / its input x 100 (Annex, 2(1) and 3(1)).",
];

fn not_known(job: &Job, kinds: &[TabledCell], modules: &[ModuleContent]) -> Vec<String> {
    let mut said = Vec::new();
    let names = |pick: &dyn Fn(&ModuleContent) -> bool| {
        let names: Vec<&str> = modules
            .iter()
            .filter(|one| pick(one))
            .map(|one| one.module.as_str())
            .collect();
        names.join(", ")
    };
    let mut say = |names: String, what: &str| {
        if !names.is_empty() {
            said.push(format!("{names}: {what}"));
        }
    };
    say(
        names(&|one| !one.serial_proved),
        "the serial was not read from the module",
    );
    say(
        names(&|one| one.net_mass_kg.is_none()),
        "neither weighed nor planned with a mass; not in the total mass",
    );
    say(
        names(&|one| one.net_mass_kg.is_some() && !one.weighed),
        "not weighed in this job; the mass is that of the plan",
    );
    if !kinds.is_empty() {
        say(
            names(&|one| one.materials.is_empty()),
            "no rated energy (and no mass that a table fits): no composition; not in the total",
        );
    }
    let leaking: Vec<&str> = (0..job.frame().modules.len())
        .filter(|module| job.progress().left_behind(*module).is_none())
        .filter(|module| {
            job.progress()
                .findings(Some(*module))
                .iter()
                .any(|code| matches!(*code, "F08" | "F15"))
        })
        .filter_map(|module| Some(job.frame().modules.get(module)?.id.as_str()))
        .collect();
    say(
        leaking.join(", "),
        "leaked or burnt: solvent and salt may be partly gone, the ranges do not count that",
    );
    if kinds.is_empty() {
        said.push(
            "The composition: there is no table for these cells. Ask the maker; until then only the \
             masses stand."
                .to_owned(),
        );
    }
    if kinds.len() > 1 {
        said.push(
            "The ratio of nickel, manganese and cobalt: the ranges cover 1:1:1 to 8:1:1. The plate or \
             the maker says which."
                .to_owned(),
        );
    }
    said.push(
        "Nothing was analysed: the chemistry is what the plan says of the plate. The densities are \
         those of vehicle cells of 2020; fluorine of the binder is not counted; copper and aluminium \
         of foils differ by maker."
            .to_owned(),
    );
    said.push(
        "Control unit, inverter, rack, brackets and outer cables are not in these figures; neither \
         is packaging."
            .to_owned(),
    );
    said.push("How much the recycler gets out: that is his to measure.".to_owned());
    said
}
