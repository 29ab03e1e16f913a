//! Every limit of a package, one at a time: what just passes and what just does not, by the planner and
//! by the checker, which is given the plan that the planner refuses.

use packdown::battery::{Chemistry, Purpose, Soundness};
use packdown::packing::{Load, LoadFault, Piece, Stock, check_load, plan_load};
use packdown::transport::Regime;

use crate::packing_load::piece;

const HEAD: &str = "id,kind,mark,inner_length_mm,inner_width_mm,inner_height_mm,gap_mm,max_gross_kg,\
tare_kg,count,max_energy_wh,max_modules,report,report_types,report_max_items,report_max_energy_wh,\
report_max_state_of_charge_percent,inner_each_alone,inner_fully_enclosed,inner_non_metallic,\
inner_leakproof,cushioning_non_combustible,cushioning_non_conductive,cushioning_absorbent,\
cushioning_thermal_insulation,liner_non_conductive\n";

/// A box that takes two of the usual modules side by side.
const BOX: &str = "box,un_packaging,4D/X200/S/25/GB/1234,1020,490,300,20,200,20,9,,,,,,,,\
yes,yes,yes,yes,yes,yes,yes,yes,yes\n";

fn stock(row: &str) -> Stock {
    Stock::read(&format!("{HEAD}{row}")).unwrap()
}

fn two(soundness: Soundness, mass_g: i64) -> Vec<Piece> {
    ["a", "b"]
        .map(|name| piece(name, Regime::Adr, soundness, mass_g))
        .to_vec()
}

/// Two sound modules in one box: the plan that is lawful for them and for nobody else.
fn together(mass_g: i64) -> Load {
    let load = plan_load("job", &two(Soundness::Sound, mass_g), &stock(BOX));
    assert_eq!((load.count, load.packages[0].placements.len()), (1, 2));
    load
}

/// The two modules and the stock, how many packages the planner makes of them, and what the checker
/// says of both in one box; nothing where that is lawful.
fn case(pieces: &[Piece], row: &str, packages: usize, said: &str) {
    let stock = stock(row);
    let load = plan_load("job", pieces, &stock);
    assert_eq!(check_load(&load, pieces, &stock), [], "{said}");
    let count = (load.count, load.not_packed.len());
    assert_eq!(count, (packages, 0), "{said}: {load:#?}");
    let mass = pieces[0].mass().unwrap().as_thousandths();
    let faults = check_load(&together(mass), pieces, &stock);
    if said.is_empty() {
        assert_eq!(faults, []);
    } else {
        let named = |fault: &LoadFault| fault.to_string().contains(said);
        assert!(faults.iter().any(named), "{said}: {faults:?}");
    }
}

#[test]
fn whom_the_law_and_the_house_keep_apart() {
    use Soundness::{Damaged, Sound, Suspect};
    case(&two(Sound, 20_000), BOX, 1, "");
    // ADR 2025, P908 (read): above 30 kg alone.
    case(&two(Damaged, 30_000), BOX, 1, "");
    case(
        &two(Damaged, 30_001),
        BOX,
        2,
        "travels alone (ADR 2025, P908)",
    );
    // 49 CFR 173.185(f) (text of December 2022, read): one in a package, whatever it weighs.
    let mut american = two(Damaged, 20_000);
    for one in &mut american {
        one.legs[0].regime = Regime::Cfr49;
    }
    case(&american, BOX, 2, "49 CFR 173.185(f)");
    // Common practice, no source: unequal soundness, purpose, entry and rules do not share.
    for soundness in [Suspect, Damaged] {
        let mut pieces = two(Sound, 20_000);
        pieces[1].legs[0].item.soundness = Some(soundness);
        case(&pieces, BOX, 2, "not equally sound");
    }
    let mut pieces = two(Sound, 20_000);
    pieces[1].legs[0].item.purpose = Some(Purpose::Recycling);
    case(&pieces, BOX, 2, "different purposes");
    let mut pieces = two(Sound, 20_000);
    pieces[1].legs[0].item.chemistry = Some(Chemistry::SodiumIonOrganic);
    let faults = check_load(&together(20_000), &pieces, &stock(BOX));
    assert!(
        faults
            .iter()
            .any(|fault| fault.to_string().contains("different entries"))
    );
    let load = plan_load("job", &pieces, &stock(BOX));
    assert!(load.packages.iter().all(|one| one.placements.len() == 1));
    let mut pieces = two(Sound, 20_000);
    pieces[1].legs[0].regime = Regime::Cfr49;
    case(&pieces, BOX, 2, "different rules");
}

#[test]
fn what_the_packaging_takes() {
    let pieces = two(Soundness::Sound, 40_000);
    // 80 kg of modules and 20 kg of box; 10,240 Wh.
    for (wrong, right, packages, said) in [
        (",200,20,9,", ",100,20,9,", 1, ""),
        (
            ",200,20,9,",
            ",99.999,20,9,",
            2,
            "gross mass 100 kg, at most 99.999 kg",
        ),
        (",9,,,", ",9,10240,,", 1, ""),
        (",9,,,", ",9,10239,,", 2, "energy"),
        (",9,,,", ",9,,2,", 1, ""),
        (",9,,,", ",9,,1,", 2, "modules 2, at most 1"),
        (",1020,", ",1019,", 2, "does not stand inside"),
        (",490,300,", ",481,300,", 2, "does not stand inside"),
        (",300,20,200", ",173,20,200", 1, ""),
    ] {
        assert!(BOX.contains(wrong));
        let row = BOX.replacen(wrong, right, 1);
        if right == ",481,300," {
            // Not even one goes in: 442 and twice 20 are 482.
            let load = plan_load("job", &pieces, &stock(&row));
            assert_eq!((load.count, load.not_packed.len()), (0, 2));
            continue;
        }
        case(&pieces, &row, packages, said);
    }
    // An energy that is not known is not below any limit.
    let mut unknown = pieces;
    unknown[1].legs[0].item.rated_energy_wh = None;
    let row = BOX.replacen(",9,,,", ",9,99999,,", 1);
    let faults = check_load(&together(40_000), &unknown, &stock(&row));
    assert!(
        faults
            .iter()
            .any(|fault| fault.to_string().contains("energy not known"))
    );
}

/// ADR 2025, P911 (read in translation): critical batteries go by a verification report, whose numbers
/// hold. The checker asks the law again for a plan made by hand.
#[test]
fn critical_modules_go_only_as_their_report_says() {
    let critical = two(Soundness::Critical, 20_000);
    let with = |report: &str| BOX.replacen(",9,,,,,,,,", &format!(",9,,,{report},"), 1);
    let whole = with("VR-1,LB-2560,1,6000,60");
    let load = plan_load("job", &critical, &stock(&whole));
    assert_eq!(check_load(&load, &critical, &stock(&whole)), []);
    assert_eq!((load.count, load.not_packed.len()), (2, 0), "{load:#?}");
    for less in [
        ",,,,",
        "VR-1,LB-2560,1,5000,60",
        "VR-1,LB-2560,1,6000,10",
        "VR-1,LB-2560,,6000,60",
    ] {
        let refused = |fault: &LoadFault| matches!(fault, LoadFault::NotAccepted { .. });
        let faults = check_load(&load, &critical, &stock(&with(less)));
        assert!(faults.iter().any(refused), "{less}: {faults:?}");
    }
    // Two in one box, where the report says one.
    let faults = check_load(&together(20_000), &critical, &stock(&whole));
    assert!(!faults.is_empty());
}

/// A bound is given with every plan, and what it rests on holds: no plan of fewer passes the checker.
#[test]
fn a_bound_stands_with_every_plan() {
    for count in 1..=9_usize {
        let pieces: Vec<Piece> = (0..count)
            .map(|n| piece(&format!("m{n}"), Regime::Adr, Soundness::Sound, 40_000))
            .collect();
        let load = plan_load("job", &pieces, &stock(BOX));
        assert_eq!(load.lower_bound, count.div_ceil(2));
        assert_eq!((load.count, load.proven), (load.lower_bound, true));
        for package in &load.packages {
            assert!(package.placements.iter().all(|one| !one.why.is_empty()));
        }
    }
}
