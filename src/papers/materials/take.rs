//! The materials of a job's modules, taken from plan and record.

use super::content::{DatedTarget, FORMAT, MaterialLine, Materials, ModuleContent, Total};
use crate::battery::{Cathode, Chemistry, Purpose, Variant};
use crate::citation::Reason;
use crate::job::Job;
use crate::papers::words::{MaterialsWords, Words};
use crate::physics::{
    CellKind, MaterialRange, Recycled, TabledCell, module_materials, recycling_targets,
};
use crate::units::{Decimal, Grams};

/// Why there is no such paper; empty where the modules go to recycling.
pub(crate) fn not_for_recycling(job: &Job) -> Vec<Reason> {
    let purpose = job.plan().purpose;
    if purpose == Purpose::Recycling {
        if (0..job.frame().modules.len()).any(|module| leaves(job, module)) {
            return Vec::new();
        }
        return vec![
            Reason::new("modules removed", "none")
                .way_out("nothing is handed on, so nothing is said of what it is made of"),
        ];
    }
    vec![
        Reason::new("purpose of the job", purpose.words())
            .limit(Purpose::Recycling.words())
            .clause("Delegated Regulation (EU) 2025/606, Annex, 1(7) and 5(3) (read)")
            .way_out("no recycler gets these modules; plan a job for recycling if one does"),
    ]
}

/// What the modules that leave the site are made of. Names of materials and targets stay as the
/// tables have them; the paper puts them into its language.
pub(crate) fn materials_of(job: &Job, words: &Words) -> Materials {
    let w = &words.wording_of_materials;
    let plan = job.plan();
    let (kinds, cells) = cells(job, w);
    let modules: Vec<ModuleContent> = (0..job.frame().modules.len())
        .filter(|module| leaves(job, *module))
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
        how: how(job, kinds, &modules, w),
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
        duties: owned(w.duties),
        not_known: not_known(job, kinds, &modules, w),
        modules,
    }
}

/// Whether a module was removed and not left behind, as the manifest counts it.
fn leaves(job: &Job, module: usize) -> bool {
    let progress = job.progress();
    progress.is_lifted(job.frame(), module) && progress.left_behind(module).is_none()
}

/// Cells whose tables bound the composition, and what the plate says in words.
fn cells(job: &Job, w: &MaterialsWords) -> (&'static [TabledCell], &'static str) {
    let installation = &job.plan().installation;
    if job.cell_kind() == CellKind::Lto {
        return (&[], w.lto);
    }
    match (installation.chemistry, installation.cathode) {
        (Chemistry::LithiumIon, Cathode::Lfp) => (&[TabledCell::Lfp], w.lfp),
        (Chemistry::LithiumIon, Cathode::Nmc) => (
            &[
                TabledCell::Nmc111,
                TabledCell::Nmc532,
                TabledCell::Nmc622,
                TabledCell::Nmc811,
            ],
            w.nmc,
        ),
        (Chemistry::LithiumIon, Cathode::Nca) => (&[TabledCell::Nca], w.nca),
        (Chemistry::LithiumIon, Cathode::Lco) => (&[], w.lco),
        (Chemistry::LithiumIon, Cathode::Lmo) => (&[], w.lmo),
        (Chemistry::LithiumIon, Cathode::Unknown) => (&[], w.electrode_not_known),
        (Chemistry::SodiumIonOrganic | Chemistry::SodiumIonAqueous, _) => (&[], w.sodium),
        _ => (&[], w.no_table),
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

fn how(
    job: &Job,
    kinds: &[TabledCell],
    modules: &[ModuleContent],
    w: &MaterialsWords,
) -> Vec<String> {
    if kinds.is_empty() {
        return Vec::new();
    }
    let by_mass = modules
        .iter()
        .any(|one| one.materials.iter().any(|m| m.from.contains("mass")));
    let mut how = vec![w.ranges, w.from_energy];
    if by_mass {
        how.push(w.from_mass);
    } else if !is_home(job) {
        how.push(w.mass_says_nothing);
    }
    owned(&how)
}

fn owned(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

fn not_known(
    job: &Job,
    kinds: &[TabledCell],
    modules: &[ModuleContent],
    w: &MaterialsWords,
) -> Vec<String> {
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
    say(names(&|one| !one.serial_proved), w.serial_not_read);
    say(names(&|one| one.net_mass_kg.is_none()), w.no_mass);
    say(
        names(&|one| one.net_mass_kg.is_some() && !one.weighed),
        w.not_weighed,
    );
    if !kinds.is_empty() {
        say(names(&|one| one.materials.is_empty()), w.no_composition);
    }
    let leaking: Vec<&str> = (0..job.frame().modules.len())
        .filter(|module| leaves(job, *module))
        .filter(|module| {
            job.progress()
                .findings(Some(*module))
                .iter()
                .any(|code| matches!(*code, "F08" | "F15"))
        })
        .filter_map(|module| Some(job.frame().modules.get(module)?.id.as_str()))
        .collect();
    say(leaking.join(", "), w.leaked);
    if kinds.is_empty() {
        said.push(w.ask_the_maker.to_owned());
    }
    if kinds.len() > 1 {
        said.push(w.ratio.to_owned());
    }
    said.extend(owned(w.never_known));
    said
}
