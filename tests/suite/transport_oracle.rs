//! A second opinion on the transport decision: plain branches written from the matrices of the
//! trade files, not from the rows, compared with the rows on random facts.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on stops"
)]

use chrono::{Datelike as _, NaiveDate};
use packdown::battery::{Casing, Chemistry as C, Purpose as P, Soundness as S};
use packdown::transport::{
    Answer, Approval, ApprovalKind, Configuration, Cushioning, Facts, Inner, Mode, Package,
    PackageAnswer, PackageKind as K, Regime, StateOfCharge, Verified, decide,
};
use packdown::units::{Grams, MilliPercent, MilliwattHours};

/// Splitmix64 (constants from memory; any fair dice would do): the same facts on every machine.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
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

fn random(dice: &mut Dice) -> Facts {
    let mut facts = Facts::new(dice.one(&[Regime::Adr, Regime::Cfr49]));
    facts.mode = Some(Mode::Road);
    facts.on = Some(if dice.roll(4) == 0 {
        dice.one(&[
            day(2022, 12, 31),
            day(2025, 1, 1),
            day(2026, 12, 31),
            day(2027, 1, 1),
            day(2027, 6, 30),
            day(2027, 7, 1),
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
    item.configuration = Some(Configuration::Alone);
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
            11_999, 12_000, 12_001, 30_000, 30_001, 60_000, 60_001, 120_001, 400_001,
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
    item.state_of_charge_percent = dice.maybe(&[30_000, 80_000]).map(|high| StateOfCharge {
        low: MilliPercent::thousandths(20_000),
        high: MilliPercent::thousandths(high),
    });
    if dice.roll(3) == 0 {
        facts.approvals = Some(vec![Approval {
            kind: dice.one(&[
                ApprovalKind::CompetentAuthority,
                ApprovalKind::StateOfOrigin,
            ]),
            reference: dice.one(&["CA 17", ""]).to_owned(),
            expires_on: dice.maybe(&[day(2026, 11, 24), day(2026, 11, 25), day(2030, 1, 1)]),
        }]);
    }
    if dice.roll(8) != 0 {
        facts.package = Some(random_package(dice));
    }
    facts
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
            .maybe(&[30_000, 30_001, 60_000, 60_001, 120_001, 400_001])
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

/// Damaged in the sense of the law; `None` where that hangs on something unknown.
fn damaged(f: &Facts) -> Option<bool> {
    let bad = !matches!(f.item.soundness, Some(S::Sound | S::Suspect));
    if bad
        || f.item.leaking == Some(true)
        || f.item.recalled_for_safety == Some(true)
        || f.item.purpose == Some(P::SafetyReturn)
    {
        return Some(true);
    }
    if f.item.recalled_for_safety.is_none() || f.item.purpose.is_none() {
        return None;
    }
    Some(false)
}

fn heavy_strong(f: &Facts) -> bool {
    f.item.casing == Some(Casing::Strong)
        && f.item
            .net_mass_kg
            .is_some_and(|m| m.as_thousandths() >= 12_000)
}

fn goods(f: &Facts) -> Option<(&'static str, &'static str)> {
    if f.item.configuration != Some(Configuration::Alone) {
        return None;
    }
    match (f.regime, f.item.chemistry?) {
        (Regime::Adr, C::LithiumIon) => Some(("UN 3480", "LITHIUM ION BATTERIES")),
        (Regime::Adr, C::LithiumMetal | C::LithiumHybrid) => {
            Some(("UN 3090", "LITHIUM METAL BATTERIES"))
        }
        (Regime::Adr, C::SodiumIonOrganic) => Some(("UN 3551", "SODIUM ION BATTERIES")),
        (Regime::Cfr49, C::LithiumIon) => Some(("UN3480", "Lithium ion batteries")),
        (Regime::Cfr49, C::LithiumMetal | C::LithiumHybrid) => {
            Some(("UN3090", "Lithium metal batteries"))
        }
        _ => None,
    }
}

/// Whether the energy is missing on the case of one carried like new: `None` where unknown.
fn energy_missing(f: &Facts) -> Option<bool> {
    let i = &f.item;
    let since = match i.chemistry? {
        C::LithiumIon => day(2012, 1, 1),
        C::SodiumIonOrganic => day(2026, 1, 1),
        _ => return Some(false),
    };
    let parts = [
        i.purpose
            .map(|p| matches!(p, P::Use | P::Reuse | P::WarrantyReturn)),
        i.soundness.map(|s| s < S::Undiagnosed),
        i.recalled_for_safety.map(|yes| !yes),
        i.leaking.map(|yes| !yes),
        i.made_on.map(|made| made >= since),
        i.energy_marked_on_case.map(|yes| !yes),
    ];
    if parts.contains(&Some(false)) {
        Some(false)
    } else if parts.contains(&None) {
        None
    } else {
        Some(true)
    }
}

fn opinion(f: &Facts) -> Opinion {
    let on = f.on.unwrap();
    if f.regime == Regime::Adr && !(day(2025, 1, 1)..=day(2027, 6, 30)).contains(&on) {
        return Opinion::open();
    }
    let Some((un, name)) = goods(f) else {
        return Opinion::open();
    };
    let mut o = Opinion::open();
    o.un = Some(un);
    let net = f.package.as_ref().and_then(|p| {
        p.net_mass_kg
            .map(Grams::as_thousandths)
            .or_else(|| Some(f.item.net_mass_kg?.as_thousandths() * i64::from(p.items?)))
    });
    o.number_height = Some(if net.is_some_and(|n| n <= 30_000) {
        6
    } else {
        12
    });
    let mut open = f.item.still_a_battery == Some(false);
    let mut forbidden = false;
    let mut asked_pallet = false;
    if f.regime == Regime::Adr {
        road(f, &mut o, &mut open, &mut forbidden, &mut asked_pallet);
        let waste = matches!(
            f.item.purpose,
            Some(P::Recycling | P::Disposal | P::Sorting)
        );
        o.line = format!("{un} {}{name}, 9, (E)", if waste { "WASTE " } else { "" });
    } else {
        highway(f, &mut o, &mut open);
        o.line = format!("{un}, {name}, 9");
    }
    o.answer = match (forbidden, open) {
        (true, _) => Answer::Forbidden,
        (false, true) => Answer::NotDetermined,
        (false, false) => Answer::AllowedWith,
    };
    o.package = packed(f, &o, asked_pallet);
    o.packing.sort_unstable();
    o.words.sort_unstable();
    o
}

fn road(f: &Facts, o: &mut Opinion, open: &mut bool, forbidden: &mut bool, asked: &mut bool) {
    let i = &f.item;
    let critical = i.soundness == Some(S::Critical);
    o.category = Some(if critical { "0" } else { "2" });
    match energy_missing(f) {
        Some(true) => *forbidden = true,
        None => *open = true,
        Some(false) => {}
    }
    // The word for waste cannot be settled without the purpose.
    let Some(purpose) = i.purpose else {
        *open = true;
        if damaged(f) == Some(true) {
            road_damaged(f, o, critical);
        }
        return;
    };
    match damaged(f) {
        None => {
            *open = true;
            return;
        }
        Some(true) => return road_damaged(f, o, critical),
        Some(false) => {}
    }
    let sodium = i.chemistry == Some(C::SodiumIonOrganic);
    match purpose {
        P::Recycling | P::Sorting | P::Disposal => {
            o.words.push(match (sodium, purpose == P::Disposal) {
                (false, false) => "LITHIUM BATTERIES FOR RECYCLING",
                (false, true) => "LITHIUM BATTERIES FOR DISPOSAL",
                (true, false) => "SODIUM ION BATTERIES FOR RECYCLING",
                (true, true) => "SODIUM ION BATTERIES FOR DISPOSAL",
            });
            o.packing.push("P909(1)");
            if heavy_strong(f) {
                o.packing.push("P909(4)");
                *asked = i.tested_type != Some(false);
            }
        }
        P::PrototypeTest => {
            o.packing.extend(["P910(1)", "LP905"]);
            o.statements
                .push("Transport in accordance with special provision 310");
        }
        _ => match i.tested_type {
            Some(true) => {
                o.packing.push("P903(1)");
                if heavy_strong(f) {
                    o.packing.push("P903(2)");
                }
                if i.net_mass_kg.is_some_and(|m| m.as_thousandths() > 12_000) {
                    o.packing.push("LP903");
                }
            }
            _ => *open = true,
        },
    }
}

fn road_damaged(f: &Facts, o: &mut Opinion, critical: bool) {
    o.statements
        .push("Transport in accordance with special provision 376");
    o.words.push(match f.item.chemistry {
        Some(C::LithiumIon) => "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
        Some(C::SodiumIonOrganic) => "DAMAGED/DEFECTIVE SODIUM ION BATTERIES",
        _ => "DAMAGED/DEFECTIVE LITHIUM METAL BATTERIES",
    });
    let undiagnosed = matches!(f.item.soundness, None | Some(S::Undiagnosed));
    if critical {
        o.packing.extend(["P911", "LP906"]);
        o.statements.push("Transport category 0");
        let approved = f.approvals.iter().flatten().any(|a| {
            a.kind == ApprovalKind::CompetentAuthority
                && !a.reference.is_empty()
                && a.expires_on.is_none_or(|last| f.on.unwrap() <= last)
        });
        if approved {
            o.packing.push("SP 376 approval");
        }
    } else {
        o.packing.extend(["P908", "LP904"]);
        if undiagnosed {
            o.packing.extend(["P911", "LP906"]);
        }
    }
}

fn highway(f: &Facts, o: &mut Opinion, open: &mut bool) {
    let i = &f.item;
    match damaged(f) {
        None => {
            *open = true;
            return;
        }
        Some(true) => {
            o.packing.extend(["173.185(f)(3)", "173.185(f)(3)(iii)"]);
            o.words.push(match i.chemistry {
                Some(C::LithiumIon) => "Damaged/defective lithium ion battery",
                _ => "Damaged/defective lithium metal battery",
            });
            return;
        }
        Some(false) => {}
    }
    let strong = heavy_strong(f);
    match i.purpose.unwrap() {
        P::Recycling | P::Disposal => {
            o.packing.push("173.185(d)");
            if strong {
                o.packing.push("173.185(b)(5)");
            }
        }
        P::PrototypeTest => {
            o.packing.extend(["173.185(e)", "173.185(e)(4)"]);
            if strong {
                o.packing.push("173.185(b)(5)");
            }
            o.statements
                .push("Transport in accordance with § 173.185(e)");
        }
        _ if i.tested_type == Some(true) => {
            o.packing.extend(["173.185(b)(3)", "173.185(b)(6)"]);
            if strong {
                o.packing.push("173.185(b)(5)");
            }
        }
        _ => *open = true,
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

fn packed(f: &Facts, o: &Opinion, asked_pallet: bool) -> PackageAnswer {
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
        Some(Point::Wrong) if asked_pallet && try_one(f, p, "P903(2)") != Point::Wrong => {
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
    if name == "SP 376 approval" {
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
        "P903(1)" => (
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
        "173.185(b)(3)" => (
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
        "P903(1)" | "P909(1)" | "LP903" => points.push(secured),
        "P908" | "LP904" => {
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
            points.extend(all_inner);
            points.extend(fire);
        }
        "P911" | "LP906" => points.push(within_report(f, p)),
        "173.185(b)(3)" | "173.185(b)(6)" => {
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
    for n in 0..60_000 {
        let facts = random(&mut dice);
        let expected = opinion(&facts);
        let decision = decide(&facts);
        let known: Vec<&str> = decision
            .marks
            .iter()
            .map(|mark| mark.text.as_str())
            .collect();
        let entry = decision.entry.as_ref();
        let mut packing: Vec<&str> = decision
            .packing_instructions
            .iter()
            .map(String::as_str)
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
        assert_eq!(entry.map(|e| e.un.as_str()), expected.un, "{}", shown());
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
            expected.package,
            "{}\n{:?}",
            shown(),
            decision.package.reasons
        );
        answers[decision.answer as usize] += 1;
        packages[decision.package.answer as usize] += 1;
    }
    // The dice reach every answer that can be reached, and not by a hair.
    assert!(answers[1..].iter().all(|n| *n > 100), "{answers:?}");
    assert!(packages.iter().all(|n| *n > 100), "{packages:?}");
}
