//! A second opinion on the transport decision: plain branches written from the matrices of the
//! published texts, not from the rows, compared with the rows on random facts.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on stops"
)]

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike as _, NaiveDate};
use packdown::battery::{Casing, Chemistry as C, Purpose as P, Soundness as S};
use packdown::transport::{
    Answer, Approval, ApprovalKind, Configuration, Criteria, Cushioning, Effect, Facts, Inner,
    Mode, Package, PackageAnswer, PackageKind as K, Regime, Rule, RuleSet, StateOfCharge, Stowage,
    Value, Verified, Voyage, decide, decide_by, rule_set,
};
use packdown::units::{Grams, MilliPercent, MilliwattHours};

use crate::transport_cases::noticed;

/// Splitmix64 (constants from memory; any fair dice would do): the same facts on every machine.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    }

    pub(crate) fn one<T: Copy>(&mut self, of: &[T]) -> T {
        let n = usize::try_from(self.roll(of.len() as u64)).unwrap();
        *of.get(n).unwrap()
    }

    /// Mostly known.
    fn maybe<T: Copy>(&mut self, of: &[T]) -> Option<T> {
        (self.roll(8) != 0).then(|| self.one(of))
    }

    /// Mostly known and mostly yes.
    fn mostly(&mut self) -> Option<bool> {
        match self.roll(12) {
            0 => None,
            1 => Some(false),
            _ => Some(true),
        }
    }
}

fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

pub(crate) fn random(dice: &mut Dice) -> Facts {
    let (regime, mode) = dice.one(&[
        (Regime::Adr, Mode::Road),
        (Regime::Rid, Mode::Rail),
        (Regime::Imdg, Mode::Sea),
        (Regime::Air, Mode::CargoAircraft),
        (Regime::Air, Mode::PassengerAircraft),
        (Regime::Cfr49, Mode::Road),
        (Regime::Cfr49, Mode::Rail),
        (Regime::Cfr49, Mode::Sea),
        (Regime::Cfr49, Mode::CargoAircraft),
        (Regime::Cfr49, Mode::PassengerAircraft),
    ]);
    let mut facts = Facts::new(regime);
    facts.mode = Some(mode);
    facts.on = Some(if dice.roll(4) == 0 {
        dice.one(&[
            day(2022, 12, 31),
            day(2024, 12, 31),
            day(2025, 1, 1),
            day(2025, 12, 31),
            day(2026, 1, 1),
            day(2026, 12, 31),
            day(2027, 1, 1),
            day(2027, 6, 30),
            day(2027, 7, 1),
            day(2027, 12, 31),
            day(2028, 1, 1),
        ])
    } else {
        day(2026, 11, 25)
    });
    let item = &mut facts.item;
    item.chemistry = if dice.roll(3) == 0 {
        dice.maybe(&[
            C::LeadAcid,
            C::LithiumSodiumMixed,
            C::NickelMetalHydride,
            C::SodiumIonAqueous,
            C::SodiumMetal,
            C::Unknown,
        ])
    } else {
        Some(dice.one(&[
            C::LithiumIon,
            C::LithiumIon,
            C::LithiumMetal,
            C::LithiumHybrid,
            C::SodiumIonOrganic,
        ]))
    };
    item.configuration = if dice.roll(2) == 0 {
        dice.maybe(&[
            Configuration::ContainedInEquipment,
            Configuration::InCargoTransportUnit,
            Configuration::PackedWithEquipment,
        ])
    } else {
        Some(Configuration::Alone)
    };
    item.cell_casing_breached = dice.maybe(&[false, false, false, false, false, true]);
    item.soundness = dice.maybe(&[
        S::Sound,
        S::Sound,
        S::Suspect,
        S::Undiagnosed,
        S::Damaged,
        S::Critical,
    ]);
    item.purpose = dice.maybe(&[
        P::Disposal,
        P::PrototypeTest,
        P::Recycling,
        P::Reuse,
        P::SafetyReturn,
        P::Sorting,
        P::Use,
        P::WarrantyReturn,
    ]);
    item.tested_type = dice.maybe(&[true, false]);
    item.recalled_for_safety = dice.maybe(&[true, false, false, false]);
    item.leaking = dice.maybe(&[true, false, false, false]);
    item.still_a_battery = dice.maybe(&[true, true, true, true, true, false]);
    item.casing = dice.maybe(&[Casing::Strong, Casing::Weak]);
    item.net_mass_kg = dice
        .maybe(&[
            4_000, 5_000, 5_001, 11_999, 12_000, 12_001, 30_000, 30_001, 35_000, 35_001, 60_000,
            60_001, 120_001, 400_001,
        ])
        .map(Grams::thousandths);
    item.energy_marked_on_case = dice.maybe(&[true, false, false]);
    item.made_on = dice.maybe(&[
        day(2011, 12, 31),
        day(2012, 1, 1),
        day(2021, 5, 1),
        day(2025, 12, 31),
        day(2026, 1, 1),
    ]);
    item.rated_energy_wh = dice
        .maybe(&[5_000_000, 5_120_000])
        .map(MilliwattHours::thousandths);
    item.state_of_charge_percent = dice
        .maybe(&[
            (20_000, 30_000),
            (20_000, 30_000),
            (20_000, 30_001),
            (30_000, 80_000),
            (30_001, 80_000),
        ])
        .map(|(low, high)| StateOfCharge {
            low: MilliPercent::thousandths(low),
            high: MilliPercent::thousandths(high),
        });
    if dice.roll(2) == 0 {
        let one = |dice: &mut Dice| Approval {
            kind: dice.one(&[
                ApprovalKind::CompetentAuthority,
                ApprovalKind::MultilateralAgreement,
                ApprovalKind::SpecialPermit,
                ApprovalKind::StateOfOrigin,
                ApprovalKind::StateOfOrigin,
                ApprovalKind::StateOfTheOperator,
                ApprovalKind::StateOfTheOperator,
            ]),
            reference: dice.one(&["CA 17", "CA 17", "CA 17", ""]).to_owned(),
            expires_on: dice.maybe(&[day(2026, 11, 24), day(2026, 11, 25), day(2030, 1, 1)]),
        };
        facts.approvals = Some(vec![one(dice), one(dice)]);
    }
    if dice.roll(2) == 0 {
        facts.voyage = Some(Voyage {
            short_international: dice.maybe(&[true, false]),
            stowage: dice.maybe(&[Stowage::OnDeck, Stowage::UnderDeck]),
        });
    }
    if matches!(mode, Mode::CargoAircraft | Mode::PassengerAircraft) && dice.roll(3) != 0 {
        fit_to_fly(dice, &mut facts);
    }
    if dice.roll(8) != 0 {
        facts.package = Some(random_package(dice));
    }
    facts
}

/// By air most facts end in a no; most of those drawn here do not, so that the rest is met too.
fn fit_to_fly(dice: &mut Dice, facts: &mut Facts) {
    let item = &mut facts.item;
    item.chemistry = Some(dice.one(&[C::LithiumIon, C::LithiumIon, C::LithiumMetal]));
    item.soundness = dice.maybe(&[S::Sound, S::Suspect]);
    item.leaking = Some(false);
    item.recalled_for_safety = dice.maybe(&[false]);
    item.still_a_battery = Some(true);
    item.tested_type = Some(true);
    item.purpose = Some(dice.one(&[P::Use, P::Reuse, P::WarrantyReturn, P::PrototypeTest]));
    item.net_mass_kg = Some(Grams::thousandths(
        dice.one(&[4_000, 5_000, 5_001, 30_000, 35_000, 35_001]),
    ));
}

/// A package that would be good, but is said to weigh less than the batteries in it, waits for the
/// right mass.
fn unless_too_light(facts: &Facts, answer: PackageAnswer) -> PackageAnswer {
    let package = facts.package.clone().unwrap_or_default();
    let one = facts.item.net_mass_kg.map_or(0, Grams::as_thousandths);
    let inside = match package.net_mass_kg {
        Some(net) => net.as_thousandths(),
        None => one * i64::from(package.items.unwrap_or(1)),
    };
    let too_light = package
        .gross_mass_kg
        .is_some_and(|gross| gross.as_thousandths() < inside);
    match answer {
        PackageAnswer::Accepted if too_light => PackageAnswer::NotDetermined,
        other => other,
    }
}

fn random_package(dice: &mut Dice) -> Package {
    let kind = dice.maybe(&[
        K::UnPackaging,
        K::UnPackaging,
        K::UnPackaging,
        K::LargePackaging,
        K::StrongOuter,
        K::Pallet,
        K::OpenCrate,
        K::ProtectiveEnclosure,
        K::None,
    ]);
    let letter = dice.one(&["X", "X", "Y", "Z"]);
    let mark = match kind {
        Some(K::LargePackaging) => {
            let code = dice.one(&[
                "50A", "50H", "50D", "50C", "50F", "50G", "50B", "50N", "50AT",
            ]);
            Some(format!(
                "{code}/{letter}/05 24/GB/AB12 0/{}",
                dice.one(&[70, 500])
            ))
        }
        Some(K::UnPackaging) => {
            let code = dice.one(&[
                "1A2", "1B2", "1D", "1G", "1H2", "1N2", "3A2", "3B2", "3H2", "4A", "4B", "4C1",
                "4C2", "4D", "4F", "4G", "4H1", "4H2", "4N", "4D", "4H2", "4DT", "4GV", "1A1",
            ]);
            let year = dice.one(&["20", "21", "25"]);
            let mass = dice.one(&["70", "500"]);
            Some(format!("{code}/{letter}{mass}/S/{year}/GB/1234"))
        }
        _ => None,
    };
    let mark = match dice.roll(16) {
        0 => None,
        1 => Some("UN4GV/X12".to_owned()),
        _ => mark,
    };
    let inner = Inner {
        each_alone: dice.mostly(),
        fully_enclosed: dice.mostly(),
        non_metallic: dice.mostly(),
        leakproof: dice.mostly(),
    };
    let cushioning = Cushioning {
        non_combustible: dice.mostly(),
        non_conductive: dice.mostly(),
        absorbent: dice.mostly(),
        thermal_insulation: dice.mostly(),
    };
    Package {
        kind,
        mark,
        items: dice.maybe(&[1, 1, 1, 2]),
        net_mass_kg: dice
            .maybe(&[
                5_000, 5_001, 30_000, 30_001, 35_000, 35_001, 60_000, 60_001, 120_001, 400_001,
            ])
            .map(Grams::thousandths),
        gross_mass_kg: dice
            .maybe(&[60_000, 70_000, 70_001, 130_000])
            .map(Grams::thousandths),
        inner: (dice.roll(10) != 0).then_some(inner),
        cushioning: (dice.roll(10) != 0).then_some(cushioning),
        liner_non_conductive: dice.mostly(),
        short_circuit_protected: dice.mostly(),
        secured: dice.mostly(),
        load_on_terminals: dice.mostly().map(|yes| !yes),
        verified: (dice.roll(3) != 0).then(|| Verified {
            report: dice.maybe(&["VR-12", "VR-13"]).map(str::to_owned),
            types: dice.maybe(&["T1"]).map(|name| vec![name.to_owned()]),
            max_items: dice.maybe(&[1, 2]),
            max_energy_wh: dice
                .maybe(&[5_000_000, 10_000_000])
                .map(MilliwattHours::thousandths),
            max_state_of_charge_percent: dice
                .maybe(&[30_000, 100_000])
                .map(MilliPercent::thousandths),
        }),
        marks: None,
        labels: None,
        packed_on: dice.maybe(&[day(2026, 11, 25)]),
        battery_mark: None,
    }
}

#[derive(Debug, PartialEq, Eq)]
struct Opinion {
    answer: Answer,
    un: Option<&'static str>,
    packing: Vec<&'static str>,
    category: Option<&'static str>,
    words: Vec<&'static str>,
    statements: Vec<&'static str>,
    line: String,
    number_height: Option<u32>,
    package: PackageAnswer,
}

impl Opinion {
    fn open() -> Self {
        Self {
            answer: Answer::NotDetermined,
            un: None,
            packing: vec![],
            category: None,
            words: vec![],
            statements: vec![],
            line: String::new(),
            number_height: None,
            package: PackageAnswer::NotDetermined,
        }
    }
}

/// "And" where some of the parts may be unknown.
fn all(parts: &[Option<bool>]) -> Option<bool> {
    if parts.contains(&Some(false)) {
        Some(false)
    } else if parts.contains(&None) {
        None
    } else {
        Some(true)
    }
}

/// "Or" where some of the parts may be unknown.
fn any(parts: &[Option<bool>]) -> Option<bool> {
    all(&parts
        .iter()
        .map(|part| part.map(|yes| !yes))
        .collect::<Vec<_>>())
    .map(|yes| !yes)
}

fn is_waste(purpose: P) -> bool {
    matches!(purpose, P::Recycling | P::Disposal | P::Sorting)
}

fn is_as_new(purpose: P) -> bool {
    matches!(purpose, P::Use | P::Reuse | P::WarrantyReturn)
}

/// Damaged in the sense of the law, where what nobody said of the soundness counts as bad.
fn damaged(f: &Facts) -> Option<bool> {
    any(&[
        Some(!matches!(f.item.soundness, Some(S::Sound | S::Suspect))),
        Some(f.item.leaking == Some(true)),
        f.item.recalled_for_safety,
        f.item.purpose.map(|p| p == P::SafetyReturn),
    ])
}

/// Damaged by what was said.
fn found_damaged(f: &Facts) -> Option<bool> {
    any(&[
        f.item.soundness.map(|s| s >= S::Undiagnosed),
        f.item.leaking,
        f.item.recalled_for_safety,
        f.item.purpose.map(|p| p == P::SafetyReturn),
    ])
}

fn heavy_strong(f: &Facts) -> bool {
    f.item.casing == Some(Casing::Strong)
        && f.item
            .net_mass_kg
            .is_some_and(|m| m.as_thousandths() >= 12_000)
}

fn approved(f: &Facts, kind: ApprovalKind) -> bool {
    f.approvals.iter().flatten().any(|a| {
        a.kind == kind
            && !a.reference.is_empty()
            && a.expires_on.is_none_or(|last| f.on.unwrap() <= last)
    })
}

fn net_of(f: &Facts) -> Option<i64> {
    let p = f.package.as_ref()?;
    p.net_mass_kg
        .map(Grams::as_thousandths)
        .or_else(|| Some(f.item.net_mass_kg?.as_thousandths() * i64::from(p.items?)))
}

/// Heavier than so many grams: the battery, or what is said of the package.
fn heavier(f: &Facts, grams: i64) -> Option<bool> {
    any(&[
        f.item.net_mass_kg.map(|m| m.as_thousandths() > grams),
        Some(net_of(f).is_some_and(|net| net > grams)),
    ])
}

/// Lowest and highest reading above 30 %.
fn charged(f: &Facts) -> (Option<bool>, Option<bool>) {
    let charge = f.item.state_of_charge_percent;
    (
        charge.map(|c| c.low.as_thousandths() > 30_000),
        charge.map(|c| c.high.as_thousandths() > 30_000),
    )
}

fn rank(chemistry: C) -> Option<usize> {
    match chemistry {
        C::LithiumIon => Some(0),
        C::LithiumMetal | C::LithiumHybrid => Some(1),
        C::SodiumIonOrganic => Some(2),
        _ => None,
    }
}

fn edition(f: &Facts) -> Option<i32> {
    let on = f.on.unwrap();
    match f.regime {
        Regime::Adr | Regime::Rid if on < day(2023, 1, 1) || on > day(2027, 6, 30) => None,
        Regime::Adr | Regime::Rid => Some(if on.year() < 2025 { 2023 } else { 2025 }),
        Regime::Imdg => (on.year() >= 2025 && on.year() <= 2027).then_some(42),
        Regime::Air => Some(on.year()).filter(|year| (2025..=2026).contains(year)),
        Regime::Cfr49 => (on >= day(2022, 12, 27)).then_some(49),
    }
}

/// What is still open and what is forbidden, while the branches are read.
#[derive(Default)]
struct Stops {
    open: bool,
    forbidden: bool,
    /// Instructions that somebody would have to allow.
    requests: Vec<&'static str>,
}

impl Stops {
    fn forbid(&mut self, when: Option<bool>) {
        match when {
            Some(true) => self.forbidden = true,
            None => self.open = true,
            Some(false) => {}
        }
    }

    fn open_if(&mut self, when: Option<bool>) {
        self.open |= when != Some(false);
    }
}

fn give(o: &mut Opinion, stops: &mut Stops, when: Option<bool>, names: &[&'static str]) {
    match when {
        Some(true) => o.packing.extend(names),
        None => stops.open = true,
        Some(false) => {}
    }
}

fn opinion(f: &Facts) -> Opinion {
    let mut o = Opinion::open();
    let Some(edition) = edition(f) else {
        return o;
    };
    // A breached cell in a battery called sound is asked about, unless it travels as damaged anyway.
    let unit = f.item.configuration == Some(Configuration::InCargoTransportUnit);
    let flies = matches!(f.mode, Some(Mode::CargoAircraft | Mode::PassengerAircraft));
    let as_damaged = damaged(f) == Some(true) && f.item.configuration.is_some() && !unit && !flies;
    let contradiction = f.item.cell_casing_breached == Some(true)
        && matches!(f.item.soundness, Some(S::Sound | S::Suspect));
    let mut stops = Stops {
        open: f.item.still_a_battery == Some(false) || contradiction && !as_damaged,
        ..Stops::default()
    };
    let Some(rank) = f.item.chemistry.and_then(rank) else {
        return o;
    };
    // In the United States only the word Waste and prototypes hang on the purpose of a damaged one.
    let purpose_matters = f.regime != Regime::Cfr49
        || f.item.cell_casing_breached == Some(true)
        || f.mode == Some(Mode::PassengerAircraft);
    if f.item.configuration.is_none() || f.item.purpose.is_none() && purpose_matters {
        stops.open = true;
    }
    match f.regime {
        Regime::Air => air(f, edition, rank, &mut o, &mut stops),
        Regime::Cfr49 if rank == 2 => return o,
        Regime::Cfr49 => states(f, rank, &mut o, &mut stops),
        _ => european(f, edition, rank, &mut o, &mut stops),
    }
    // Only with an entry is there a number to mark.
    o.number_height = o.un.filter(|_| !unit).map(|_| {
        if f.regime != Regime::Air && net_of(f).is_some_and(|n| n <= 30_000) {
            6
        } else {
            12
        }
    });
    o.answer = match (stops.forbidden, stops.open || o.un.is_none()) {
        (true, _) => Answer::Forbidden,
        (false, true) => Answer::NotDetermined,
        (false, false) => Answer::AllowedWith,
    };
    o.package = packed(f, &o, &stops.requests);
    o.packing.sort_unstable();
    o.words.sort_unstable();
    o
}

/// Road, rail and sea.
fn european(f: &Facts, edition: i32, rank: usize, o: &mut Opinion, stops: &mut Stops) {
    let i = &f.item;
    let critical = i.soundness == Some(S::Critical);
    let land = f.regime != Regime::Imdg;
    if land {
        o.category = Some(if critical { "0" } else { "2" });
        stops.open |= approved(f, ApprovalKind::MultilateralAgreement);
    } else if f.voyage.as_ref().and_then(|v| v.stowage) == Some(Stowage::UnderDeck) {
        let short = f.voyage.as_ref().and_then(|v| v.short_international);
        let waste = i.purpose.map(is_waste);
        stops.forbid(all(&[
            short.map(|short| !short),
            any(&[found_damaged(f), waste]),
        ]));
    }
    let entry = match i.configuration {
        Some(Configuration::Alone) => [
            ("UN 3480", "LITHIUM ION BATTERIES"),
            ("UN 3090", "LITHIUM METAL BATTERIES"),
            ("UN 3551", "SODIUM ION BATTERIES"),
        ]
        .get(rank),
        Some(Configuration::PackedWithEquipment) => [
            ("UN 3481", "LITHIUM ION BATTERIES PACKED WITH EQUIPMENT"),
            ("UN 3091", "LITHIUM METAL BATTERIES PACKED WITH EQUIPMENT"),
            ("UN 3552", "SODIUM ION BATTERIES PACKED WITH EQUIPMENT"),
        ]
        .get(rank),
        Some(Configuration::ContainedInEquipment) => [
            ("UN 3481", "LITHIUM ION BATTERIES CONTAINED IN EQUIPMENT"),
            ("UN 3091", "LITHIUM METAL BATTERIES CONTAINED IN EQUIPMENT"),
            ("UN 3552", "SODIUM ION BATTERIES CONTAINED IN EQUIPMENT"),
        ]
        .get(rank),
        Some(Configuration::InCargoTransportUnit) if rank < 2 => Some(&(
            "UN 3536",
            "LITHIUM BATTERIES INSTALLED IN CARGO TRANSPORT UNIT",
        )),
        _ => None,
    };
    // The edition of 2023 has no sodium ion.
    let entry = entry.filter(|_| rank < 2 || edition != 2023);
    if let Some((un, name)) = entry {
        o.un = Some(un);
        let waste = if i.purpose.is_some_and(is_waste) {
            "WASTE "
        } else {
            ""
        };
        let tunnel = if f.regime == Regime::Adr { ", (E)" } else { "" };
        o.line = format!("{un} {waste}{name}, 9{tunnel}");
    }
    let damaged = damaged(f);
    if i.configuration == Some(Configuration::InCargoTransportUnit) {
        if rank < 2 {
            stops.forbid(found_damaged(f));
            let sound = damaged.map(|yes| !yes);
            give(o, stops, all(&[sound, i.tested_type]), &["SP 389"]);
            stops.open_if(all(&[sound, i.tested_type.map(|yes| !yes)]));
        }
        if critical && land && edition != 2023 {
            o.statements.push("Transport category 0");
        }
        return;
    }
    if i.configuration.is_some() {
        let since = [Some(day(2012, 1, 1)), None, Some(day(2026, 1, 1))][rank];
        stops.forbid(all(&[
            i.purpose.map(is_as_new),
            found_damaged(f).map(|yes| !yes),
            since.map_or(Some(false), |since| i.made_on.map(|made| made >= since)),
            i.energy_marked_on_case.map(|yes| !yes),
        ]));
        match damaged {
            None => stops.open = true,
            Some(true) => european_damaged(f, rank, o),
            Some(false) => european_sound(f, rank, o, stops),
        }
    }
    if critical && land && edition != 2023 {
        o.statements.push("Transport category 0");
    }
}

fn european_sound(f: &Facts, rank: usize, o: &mut Opinion, stops: &mut Stops) {
    let i = &f.item;
    let alone = i.configuration == Some(Configuration::Alone);
    let inside = i.configuration == Some(Configuration::ContainedInEquipment);
    match i.purpose.unwrap() {
        purpose @ (P::Recycling | P::Sorting | P::Disposal) => {
            // The words for sodium are unknown to the edition of 2023, which has no entry for it.
            if rank < 2 || edition(f) != Some(2023) {
                o.words.push(match (rank == 2, purpose == P::Disposal) {
                    (false, false) => "LITHIUM BATTERIES FOR RECYCLING",
                    (false, true) => "LITHIUM BATTERIES FOR DISPOSAL",
                    (true, false) => "SODIUM ION BATTERIES FOR RECYCLING",
                    (true, true) => "SODIUM ION BATTERIES FOR DISPOSAL",
                });
            }
            if inside {
                o.packing.push("P909(3)");
                stops.requests.push("unpacked");
                return;
            }
            o.packing.push("P909(1)");
            if alone && heavy_strong(f) {
                o.packing.push("P909(4)");
                if i.tested_type != Some(false) {
                    stops.requests.push("P903(2)");
                }
            }
        }
        P::PrototypeTest => {
            o.packing.extend(["P910(1)", "LP905"]);
            o.statements
                .push("Transport in accordance with special provision 310");
        }
        _ if i.tested_type != Some(true) => stops.open = true,
        _ if alone => {
            o.packing.push("P903(1)");
            if heavy_strong(f) {
                o.packing.push("P903(2)");
            }
            if i.net_mass_kg.is_some_and(|m| m.as_thousandths() > 12_000) {
                o.packing.push("LP903");
            }
        }
        _ if inside => {
            o.packing.push("P903(4)");
            stops.requests.push("unpacked");
        }
        _ => o.packing.push("P903(3)"),
    }
}

fn european_damaged(f: &Facts, rank: usize, o: &mut Opinion) {
    o.statements
        .push("Transport in accordance with special provision 376");
    if rank < 2 || edition(f) != Some(2023) {
        o.words.push(
            [
                "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
                "DAMAGED/DEFECTIVE LITHIUM METAL BATTERIES",
                "DAMAGED/DEFECTIVE SODIUM ION BATTERIES",
            ][rank],
        );
    }
    if f.item.soundness == Some(S::Critical) {
        o.packing.extend(["P911", "LP906"]);
        if approved(f, ApprovalKind::CompetentAuthority) {
            o.packing.push("SP 376 approval");
        }
    } else {
        o.packing.extend(["P908", "LP904"]);
        if matches!(f.item.soundness, None | Some(S::Undiagnosed)) {
            o.packing.extend(["P911", "LP906"]);
        }
    }
}

fn air(f: &Facts, year: i32, rank: usize, o: &mut Opinion, stops: &mut Stops) {
    let i = &f.item;
    let passengers = f.mode == Some(Mode::PassengerAircraft);
    let alone = i.configuration == Some(Configuration::Alone);
    let beside = i.configuration == Some(Configuration::PackedWithEquipment);
    let inside = i.configuration == Some(Configuration::ContainedInEquipment);
    let origin = approved(f, ApprovalKind::StateOfOrigin);
    let both = origin && approved(f, ApprovalKind::StateOfTheOperator);
    if rank > 0 {
        stops.open = true;
    } else if let Some((un, name)) = match i.configuration {
        Some(Configuration::Alone) => Some(("UN 3480", "Lithium ion batteries")),
        Some(Configuration::PackedWithEquipment) => {
            Some(("UN 3481", "Lithium ion batteries packed with equipment"))
        }
        Some(Configuration::ContainedInEquipment) => {
            Some(("UN 3481", "Lithium ion batteries contained in equipment"))
        }
        _ => None,
    } {
        o.un = Some(un);
        o.line = format!("{un}, {name}, 9");
    }
    // What never flies, or only with leave.
    stops.forbid(found_damaged(f));
    stops.forbidden |= passengers && alone;
    if let Some(purpose) = i.purpose {
        stops.forbidden |= is_waste(purpose) && !both;
        stops.open |= is_waste(purpose) && both;
        stops.forbidden |= purpose == P::PrototypeTest && (passengers || !origin);
    }
    if i.configuration == Some(Configuration::InCargoTransportUnit) {
        stops.forbidden |= !origin;
        stops.open |= origin;
    }
    let (low, high) = charged(f);
    if !both && (alone && !passengers || beside && year >= 2026) {
        stops.forbid(low);
        stops.open |= high == Some(true) && low == Some(false);
    }
    if passengers && (beside || inside) {
        stops.forbid(heavier(f, 5_000));
    }
    if !passengers && (alone || beside || inside) && !origin {
        stops.forbid(heavier(f, 35_000));
    }
    // What flies.
    let sound = damaged(f).map(|yes| !yes);
    let as_new = i.purpose.map(is_as_new);
    stops.open_if(all(&[sound, as_new, i.tested_type.map(|yes| !yes)]));
    if rank > 0 {
        return;
    }
    let like_new = all(&[sound, as_new, i.tested_type]);
    let heavy = heavier(f, 35_000);
    let light = heavy.map(|yes| !yes);
    if alone && !passengers {
        give(o, stops, all(&[like_new, light]), &["PI 965 IA"]);
        if both {
            give(o, stops, all(&[like_new, high]), &["A331 approval"]);
        }
    }
    if beside {
        give(o, stops, all(&[like_new, light]), &["PI 966"]);
    }
    if inside {
        give(o, stops, all(&[like_new, light]), &["PI 967"]);
    }
    if !passengers && origin && (alone || beside || inside) {
        give(o, stops, all(&[like_new, heavy]), &["PI 974"]);
        let prototype = i.purpose.map(|p| p == P::PrototypeTest);
        give(o, stops, all(&[sound, prototype]), &["PI 910"]);
    }
}

fn states(f: &Facts, rank: usize, o: &mut Opinion, stops: &mut Stops) {
    let i = &f.item;
    let mode = f.mode.unwrap();
    let flies = matches!(mode, Mode::CargoAircraft | Mode::PassengerAircraft);
    let passengers = mode == Mode::PassengerAircraft;
    let alone = i.configuration == Some(Configuration::Alone);
    let unit = i.configuration == Some(Configuration::InCargoTransportUnit);
    let packaged = i.configuration.is_some() && !unit;
    let leave = approved(f, ApprovalKind::CompetentAuthority);
    let entry = match i.configuration {
        Some(Configuration::Alone) => [
            ("UN3480", "Lithium ion batteries"),
            ("UN3090", "Lithium metal batteries"),
        ]
        .get(rank),
        Some(Configuration::PackedWithEquipment) => [
            ("UN3481", "Lithium ion batteries packed with equipment"),
            ("UN3091", "Lithium metal batteries packed with equipment"),
        ]
        .get(rank),
        Some(Configuration::ContainedInEquipment) => [
            ("UN3481", "Lithium ion batteries contained in equipment"),
            ("UN3091", "Lithium metal batteries contained in equipment"),
        ]
        .get(rank),
        Some(Configuration::InCargoTransportUnit) => Some(&(
            "UN3536",
            "Lithium batteries installed in cargo transport unit",
        )),
        None => None,
    };
    if let Some((un, name)) = entry {
        o.un = Some(un);
        let manifest = i.purpose.is_some_and(is_waste) && i.cell_casing_breached == Some(true);
        let waste = if manifest { "Waste " } else { "" };
        o.line = format!("{un}, {waste}{name}, 9");
    }
    let damaged = damaged(f);
    let sound = damaged.map(|yes| !yes);
    if damaged.is_none() {
        stops.open = true;
    }
    if flies {
        stops.forbid(found_damaged(f));
        stops.forbidden |= passengers && (alone || i.purpose == Some(P::PrototypeTest));
        stops.forbidden |= unit && !leave;
        let (low, high) = charged(f);
        if !passengers && alone && !leave {
            stops.forbid(low);
            stops.open |= high == Some(true) && low == Some(false);
        }
        if !passengers && packaged && !leave {
            stops.forbid(heavier(f, 35_000));
        }
        if passengers && packaged && !alone {
            stops.forbid(heavier(f, 5_000));
        }
        if !passengers && packaged && leave {
            give(o, stops, sound, &["173.185(h) approval"]);
        }
    }
    if mode == Mode::Sea {
        match (damaged, i.purpose) {
            (Some(true), _) => o.statements.push("DAMAGED/DEFECTIVE"),
            (Some(false), Some(P::Recycling)) => {
                o.statements.push("LITHIUM BATTERIES FOR RECYCLING");
            }
            (Some(false), Some(P::Disposal)) => {
                o.statements.push("LITHIUM BATTERIES FOR DISPOSAL");
            }
            _ => {}
        }
    }
    if unit {
        stops.open |= damaged == Some(true);
        give(o, stops, all(&[sound, i.tested_type]), &["SP 389"]);
        stops.open_if(all(&[sound, i.tested_type.map(|yes| !yes)]));
        return;
    }
    if !packaged {
        return;
    }
    match damaged {
        Some(true) if !flies => {
            o.packing.extend(["173.185(f)(3)", "173.185(f)(3)(iii)"]);
            if approved(f, ApprovalKind::SpecialPermit) {
                o.packing.push("special permit");
            }
            o.words.push(
                [
                    "Damaged/defective lithium ion battery",
                    "Damaged/defective lithium metal battery",
                ][rank],
            );
        }
        Some(false) => states_sound(f, mode, o, stops),
        _ => {}
    }
}

fn states_sound(f: &Facts, mode: Mode, o: &mut Opinion, stops: &mut Stops) {
    let i = &f.item;
    let alone = i.configuration == Some(Configuration::Alone);
    let inside = i.configuration == Some(Configuration::ContainedInEquipment);
    let surface = matches!(mode, Mode::Road | Mode::Rail | Mode::Sea);
    let pallet = alone && surface && heavy_strong(f);
    let recycled = matches!(i.purpose.unwrap(), P::Recycling | P::Disposal);
    match i.purpose.unwrap() {
        P::PrototypeTest => {
            o.packing.push("173.185(e)");
            if surface {
                o.packing.push("173.185(e)(4)");
            }
            o.statements
                .push("Transport in accordance with § 173.185(e)");
        }
        _ if recycled && mode == Mode::Road => o.packing.push("173.185(d)"),
        _ if i.tested_type != Some(true) => {
            stops.open = true;
            return;
        }
        _ if inside => {
            o.packing.push("173.185(b)(4)");
            if !recycled {
                stops.requests.push("unpacked");
            }
        }
        _ if alone => {
            o.packing.push("173.185(b)(3)");
            if surface {
                o.packing.push("173.185(b)(6)");
            }
        }
        _ => o.packing.push("173.185(b)(3)(iii)"),
    }
    if pallet {
        o.packing.push("173.185(b)(5)");
    }
}

/// What one point of a package says: fine, wrong, or not known.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Point {
    Fine,
    Ask,
    Wrong,
}

fn flag(stated: Option<bool>) -> Point {
    match stated {
        Some(true) => Point::Fine,
        Some(false) => Point::Wrong,
        None => Point::Ask,
    }
}

fn at_most<T: PartialOrd>(value: Option<T>, limit: T) -> Point {
    match value {
        None => Point::Ask,
        Some(value) if value > limit => Point::Wrong,
        Some(_) => Point::Fine,
    }
}

fn packed(f: &Facts, o: &Opinion, requests: &[&'static str]) -> PackageAnswer {
    if o.answer == Answer::Forbidden {
        return PackageAnswer::Refused;
    }
    let Some(p) = &f.package else {
        return PackageAnswer::NotDetermined;
    };
    let best = o.packing.iter().map(|name| try_one(f, p, name)).min();
    match best {
        Some(Point::Fine) if o.answer == Answer::AllowedWith => PackageAnswer::Accepted,
        Some(Point::Fine | Point::Ask) | None => PackageAnswer::NotDetermined,
        Some(Point::Wrong)
            if requests
                .iter()
                .any(|name| try_one(f, p, name) != Point::Wrong) =>
        {
            PackageAnswer::NotDetermined
        }
        Some(Point::Wrong) => PackageAnswer::Refused,
    }
}

const METAL: [&str; 11] = [
    "1A2", "1B2", "1N2", "3A2", "3B2", "4A", "4B", "4N", "50A", "50B", "50N",
];

fn try_one(f: &Facts, p: &Package, name: &str) -> Point {
    let Some(kind) = p.kind else {
        return Point::Ask;
    };
    if name.contains("approval") || matches!(name, "PI 974" | "PI 910" | "special permit") {
        return Point::Ask;
    }
    let inner = p.inner.clone().unwrap_or_default();
    let fill = p.cushioning.clone().unwrap_or_default();
    let all_inner = [flag(inner.each_alone), flag(inner.fully_enclosed)];
    let fire = [flag(fill.non_combustible), flag(fill.non_conductive)];
    let short = flag(p.short_circuit_protected);
    let secured = flag(p.secured);
    let no_load = flag(p.load_on_terminals.map(|load| !load));
    let net = p
        .net_mass_kg
        .map(Grams::as_thousandths)
        .or_else(|| Some(f.item.net_mass_kg?.as_thousandths() * i64::from(p.items?)));
    let mut points = vec![short];
    // What needs no mark.
    match name {
        "P903(2)" | "173.185(b)(5)" => {
            if !matches!(
                kind,
                K::StrongOuter | K::ProtectiveEnclosure | K::OpenCrate | K::Pallet
            ) {
                return Point::Wrong;
            }
            points.extend([secured, no_load]);
            return points.into_iter().max().unwrap();
        }
        "unpacked" | "SP 389" => {
            let fits =
                kind == K::None || name == "unpacked" && matches!(kind, K::OpenCrate | K::Pallet);
            if !fits {
                return Point::Wrong;
            }
            points.push(secured);
            return points.into_iter().max().unwrap();
        }
        "P903(4)" | "P909(3)" | "173.185(b)(4)" | "PI 967" => {
            if !matches!(
                kind,
                K::StrongOuter | K::ProtectiveEnclosure | K::UnPackaging | K::LargePackaging
            ) {
                return Point::Wrong;
            }
            points.push(secured);
            if name == "PI 967" {
                points.push(at_most(net, 35_000));
            }
            if let Some(limit) = p.mark.as_deref().and_then(gross_of) {
                points.push(at_most(p.gross_mass_kg.map(Grams::as_thousandths), limit));
            }
            return points.into_iter().max().unwrap();
        }
        "P909(4)" => {
            if kind != K::StrongOuter {
                return Point::Wrong;
            }
            points.push(secured);
            return points.into_iter().max().unwrap();
        }
        "173.185(d)" => {
            if !matches!(kind, K::StrongOuter | K::UnPackaging | K::LargePackaging) {
                return Point::Wrong;
            }
            points.extend([
                secured,
                flag(inner.non_metallic),
                flag(inner.fully_enclosed),
            ]);
            if let Some(limit) = p.mark.as_deref().and_then(gross_of) {
                points.push(at_most(p.gross_mass_kg.map(Grams::as_thousandths), limit));
            }
            return points.into_iter().max().unwrap();
        }
        _ => {}
    }
    // What needs one.
    let (codes, letters, one) = match name {
        "P903(1)" | "P903(3)" => (
            "1A2 1B2 1N2 1H2 1D 1G 4A 4B 4N 4C1 4C2 4D 4F 4G 4H1 4H2 3A2 3B2 3H2",
            "XY",
            false,
        ),
        "P909(1)" => (
            "1A2 1B2 1N2 1H2 1D 1G 4A 4B 4N 4C1 4C2 4D 4F 4G 4H2 3A2 3B2 3H2",
            "XY",
            false,
        ),
        "P908" | "P910(1)" => {
            let above = f
                .item
                .net_mass_kg
                .is_none_or(|m| m.as_thousandths() > 30_000);
            (
                "1A2 1B2 1N2 1H2 1D 1G 4A 4B 4N 4C1 4C2 4D 4F 4G 4H1 4H2 3A2 3B2 3H2",
                "XY",
                above,
            )
        }
        "P911" => (
            "1A2 1B2 1N2 1H2 1D 1G 4A 4B 4N 4C1 4C2 4D 4F 4G 4H1 4H2 3A2 3B2 3H2",
            "X",
            false,
        ),
        "LP903" => ("50A 50B 50N 50H 50C 50D 50F 50G", "XY", false),
        "LP904" => ("50A 50B 50N 50H 50D", "XY", true),
        "LP905" => ("50A 50B 50N 50H 50C 50D 50F 50G", "XY", true),
        "LP906" => ("50A 50B 50N 50H 50D 50G", "X", false),
        "173.185(b)(3)" | "173.185(b)(3)(iii)" | "PI 965 IA" | "PI 966" => (
            "4A 4B 4N 4C1 4C2 4D 4F 4G 4H1 4H2 1A2 1B2 1N2 1D 1G 1H2 3A2 3B2 3H2",
            "XY",
            false,
        ),
        "173.185(b)(6)" => ("50A 50B 50N 50H 50C 50D 50F 50G", "XY", true),
        "173.185(e)" => {
            let above = f
                .item
                .net_mass_kg
                .is_none_or(|m| m.as_thousandths() > 30_000);
            ("4A 4B 4N 4C1 4C2 4D 4F 4H2 1A2 1B2 1N2 1D 1H2", "X", above)
        }
        "173.185(e)(4)" => ("50A 50B 50N 50H 50D", "X", true),
        "173.185(f)(3)" => ("4A 4B 4N 4C1 4C2 4D 4F 4H2 1A2 1B2 1N2 1D 1H2", "X", true),
        "173.185(f)(3)(iii)" => ("50A 50B 50N 50H 50D", "X", true),
        other => panic!("no such instruction: {other}"),
    };
    if !matches!(kind, K::UnPackaging | K::LargePackaging) {
        return Point::Wrong;
    }
    let Some(mark) = p.mark.as_deref() else {
        return Point::Ask;
    };
    let Some(gross) = gross_of(mark) else {
        return Point::Ask;
    };
    let (full, rest) = mark.split_once('/').unwrap();
    let code = full.trim_end_matches(['T', 'V', 'W']);
    if !codes.split(' ').any(|known| known == code) {
        return Point::Wrong;
    }
    let wrong_if = |wrong: bool| if wrong { Point::Wrong } else { Point::Fine };
    points.push(wrong_if(!letters.contains(rest.chars().next().unwrap())));
    points.push(wrong_if(full.ends_with('T')));
    points.push(at_most(p.gross_mass_kg.map(Grams::as_thousandths), gross));
    let heaviest = match code {
        "4H1" => 60_000,
        "3A2" | "3B2" | "3H2" => 120_000,
        _ => 400_000,
    };
    // A large packaging is limited by its mark alone.
    if !code.starts_with("50") {
        points.push(at_most(net, heaviest));
    }
    if matches!(code, "1H2" | "3H2") {
        let made: i32 = 2000 + mark.split('/').nth(3).unwrap().parse::<i32>().unwrap();
        points.push(match p.packed_on.map(|on| on.year() - made) {
            None | Some(5) => Point::Ask,
            Some(years) => wrong_if(years > 5),
        });
    }
    if one {
        points.push(at_most(p.items, 1));
    }
    if METAL.contains(&code) && matches!(name, "P909(1)" | "173.185(b)(6)" | "173.185(e)(4)") {
        points.push(flag(p.liner_non_conductive));
    }
    match name {
        "P903(1)" | "P903(3)" | "P909(1)" | "LP903" => points.push(secured),
        "P908" | "LP904" => {
            points.push(secured);
            points.extend(all_inner);
            points.extend(fire);
            points.push(flag(fill.thermal_insulation));
            points.push(if inner.leakproof == Some(true) {
                Point::Fine
            } else {
                Point::Ask
            });
            if f.item.leaking == Some(true) {
                points.push(flag(fill.absorbent));
            }
        }
        "P910(1)" | "LP905" => {
            points.extend([secured, flag(fill.thermal_insulation)]);
            points.extend(all_inner);
            points.extend(fire);
        }
        "P911" | "LP906" => points.push(within_report(f, p)),
        "173.185(b)(3)" | "173.185(b)(3)(iii)" | "173.185(b)(6)" | "PI 965 IA" | "PI 966" => {
            if name.starts_with("PI") {
                points.push(at_most(net, 35_000));
            }
            points.extend([
                secured,
                flag(inner.non_metallic),
                flag(inner.fully_enclosed),
            ]);
        }
        "173.185(e)" | "173.185(e)(4)" => {
            points.extend([secured, flag(inner.each_alone), flag(inner.non_metallic)]);
            points.extend(fire);
        }
        _ => {
            points.push(secured);
            points.extend(all_inner);
            points.extend(fire);
            points.extend([flag(inner.non_metallic), flag(fill.absorbent)]);
        }
    }
    points.into_iter().max().unwrap()
}

fn within_report(f: &Facts, p: &Package) -> Point {
    let Some(v) = &p.verified else {
        return Point::Ask;
    };
    let energy = f
        .item
        .rated_energy_wh
        .zip(p.items)
        .map(|(one, n)| one.as_thousandths() * i64::from(n));
    let charge = f
        .item
        .state_of_charge_percent
        .map_or(100_000, |charge| charge.high.as_thousandths());
    let known = |yes: bool| if yes { Point::Fine } else { Point::Ask };
    let within = |value: Option<i64>, limit: Option<i64>| match limit {
        None => Point::Ask,
        Some(limit) => at_most(value, limit),
    };
    [
        known(v.report.is_some()),
        known(v.types.is_some()),
        within(p.items.map(i64::from), v.max_items.map(i64::from)),
        within(energy, v.max_energy_wh.map(MilliwattHours::as_thousandths)),
        within(
            Some(charge),
            v.max_state_of_charge_percent
                .map(MilliPercent::as_thousandths),
        ),
    ]
    .into_iter()
    .max()
    .unwrap()
}

/// Gross mass in one of the marks made above, in grams; `None` for the shorthand, which is none.
fn gross_of(mark: &str) -> Option<i64> {
    if mark.starts_with("50") {
        return Some(mark.rsplit('/').next()?.parse::<i64>().ok()? * 1_000);
    }
    let parts: Vec<&str> = mark.split('/').collect();
    let mass = parts
        .get(1)?
        .trim_start_matches(['X', 'Y', 'Z'])
        .parse::<i64>()
        .ok()?;
    (parts.len() == 6).then_some(mass * 1_000)
}

#[test]
fn rows_and_plain_branches_agree_on_random_facts() {
    let mut dice = Dice(20_261_125);
    let mut answers = [0_u32; 4];
    let mut packages = [0_u32; 3];
    let mut travelled: BTreeMap<(Regime, Option<Mode>), u32> = BTreeMap::new();
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for n in 0..100_000 {
        let facts = random(&mut dice);
        let expected = opinion(&facts);
        let decision = decide(&facts);
        let known: Vec<&str> = decision.marks.iter().map(|mark| &*mark.text).collect();
        let entry = decision.entry.as_ref();
        let mut packing: Vec<&str> = decision
            .packing_instructions
            .iter()
            .map(AsRef::as_ref)
            .collect();
        packing.sort_unstable();
        let mut words: Vec<&str> = known
            .iter()
            .copied()
            .filter(|text| entry.is_none_or(|e| *text != e.un && *text != e.proper_shipping_name))
            .collect();
        words.sort_unstable();
        let number_height = decision
            .marks
            .iter()
            .find(|mark| entry.is_some_and(|e| mark.text == e.un))
            .map(|mark| mark.min_height_mm);
        let shown = || format!("number {n}: {}", serde_json::to_string(&facts).unwrap());
        assert_eq!(decision.answer, expected.answer, "{}", shown());
        assert_eq!(entry.map(|e| &*e.un), expected.un, "{}", shown());
        assert_eq!(packing, expected.packing, "{}", shown());
        assert_eq!(
            decision.transport_category.as_deref(),
            expected.category,
            "{}",
            shown()
        );
        assert_eq!(words, expected.words, "{}", shown());
        assert_eq!(
            decision.document.statements,
            expected.statements,
            "{}",
            shown()
        );
        assert_eq!(decision.document.line, expected.line, "{}", shown());
        assert_eq!(number_height, expected.number_height, "{}", shown());
        assert_eq!(
            decision.package.answer,
            unless_too_light(&facts, expected.package),
            "{}\n{:?}",
            shown(),
            decision.package.reasons
        );
        answers[decision.answer as usize] += 1;
        if decision.answer == Answer::AllowedWith {
            *travelled.entry((facts.regime, facts.mode)).or_default() += 1;
        }
        seen.extend(expected.packing.iter().copied());
        packages[decision.package.answer as usize] += 1;
    }
    // The dice reach every answer that can be reached, and not by a hair.
    assert!(answers[1..].iter().all(|n| *n > 100), "{answers:?}");
    assert!(packages.iter().all(|n| *n > 100), "{packages:?}");
    // On each leg something travels, and each instruction that a row names was met.
    assert!(
        travelled.len() == 10 && travelled.values().all(|n| *n > 10),
        "{travelled:?}"
    );
    let named: BTreeSet<&str> = rule_set()
        .rules()
        .iter()
        .flat_map(|rule| rule.effects)
        .filter_map(|effect| match effect {
            Effect::Packing(instruction) => Some(instruction.name),
            _ => None,
        })
        .collect();
    assert_eq!(seen, named);
}

/// Every way to move one limit in a condition by one step.
fn moved(criteria: &Criteria) -> Vec<Criteria> {
    let leak = |one: Criteria| -> &'static Criteria { Box::leak(Box::new(one)) };
    let parts = |parts: &'static [Criteria]| {
        let mut out = Vec::new();
        for (n, part) in parts.iter().enumerate() {
            for other in moved(part) {
                let mut list = parts.to_vec();
                list[n] = other;
                out.push(&*Box::leak(list.into_boxed_slice()));
            }
        }
        out
    };
    match *criteria {
        Criteria::All(list) => parts(list).into_iter().map(Criteria::All).collect(),
        Criteria::Any(list) => parts(list).into_iter().map(Criteria::Any).collect(),
        Criteria::Not(part) => moved(part)
            .into_iter()
            .map(|one| Criteria::Not(leak(one)))
            .collect(),
        Criteria::Stated(part) => moved(part)
            .into_iter()
            .map(|one| Criteria::Stated(leak(one)))
            .collect(),
        Criteria::Compare(fact, is, limit) => {
            let limits = match limit {
                Value::Thousandths(n) => {
                    vec![Value::Thousandths(n - 1), Value::Thousandths(n + 1)]
                }
                Value::Day(day) => [day.pred_opt(), day.succ_opt()]
                    .into_iter()
                    .flatten()
                    .map(Value::Day)
                    .collect(),
                _ => Vec::new(),
            };
            limits
                .into_iter()
                .map(|limit| Criteria::Compare(fact, is, limit))
                .collect()
        }
        _ => Vec::new(),
    }
}

#[test]
#[ignore = "minutes; run after a change of limits: cargo test --test suite moved -- --ignored"]
fn every_limit_moved_by_one_step_is_noticed() {
    let mut dice = Dice(41);
    let mut facts: Vec<Facts> = (0..60_000).map(|_| random(&mut dice)).collect();
    facts.retain(|facts| opinion(facts).un.is_some());
    let mut survivors = Vec::new();
    for (n, rule) in rule_set().rules().iter().enumerate() {
        for when in moved(&rule.when) {
            let mut rules = rule_set().rules().to_vec();
            rules[n] = Box::leak(Box::new(Rule { when, ..**rule }));
            let rules = RuleSet::of(rules);
            let seen = noticed(&rules)
                || facts
                    .iter()
                    .filter(|facts| rule.scope.iter().any(|scope| scope.regime == facts.regime))
                    .any(|facts| {
                        let decision = decide_by(&rules, facts);
                        let expected = opinion(facts);
                        let mut packing: Vec<&str> = decision
                            .packing_instructions
                            .iter()
                            .map(AsRef::as_ref)
                            .collect();
                        packing.sort_unstable();
                        decision.answer != expected.answer
                            || packing != expected.packing
                            || decision.package.answer != expected.package
                    });
            if !seen {
                survivors.push(format!("{}: {when}", rule.id));
            }
        }
    }
    assert!(
        survivors.is_empty(),
        "{} survive:\n{}",
        survivors.len(),
        survivors.join("\n")
    );
}
