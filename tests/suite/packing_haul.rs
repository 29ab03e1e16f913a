//! Packages on pallets, in overpacks, on vehicles: what carries what, what stands apart, points; every
//! plan judged by the checker, counts against plain enumeration, planted faults found.

use packdown::battery::Soundness;
use packdown::packing::{
    Carriers, Haul, HaulFault, Load, PackingError, Piece, Stock, check_haul, check_load, plan_haul,
    plan_load,
};
use packdown::transport::Regime;
use packdown::units::Grams;

use crate::packing_brute::Dice;
use crate::packing_load::piece;

const PACKAGINGS: &str = "id,kind,mark,inner_length_mm,inner_width_mm,inner_height_mm,gap_mm,\
outer_length_mm,outer_width_mm,outer_height_mm,stack_load_kg,max_gross_kg,tare_kg,count,\
report,report_types,report_max_items,report_max_energy_wh,report_max_state_of_charge_percent,\
inner_each_alone,inner_fully_enclosed,inner_non_metallic,inner_leakproof,\
cushioning_non_combustible,cushioning_non_conductive,cushioning_absorbent,\
cushioning_thermal_insulation,liner_non_conductive\n";
const CARRIERS: &str =
    "id,kind,length_mm,width_mm,height_mm,wall_mm,deck_mm,max_load_kg,tare_kg,count,small_load\n";

/// A box for one module that carries `bears` kg on top.
fn boxes(bears: &str) -> Stock {
    report_boxes(bears, ",,,,")
}

fn report_boxes(bears: &str, report: &str) -> Stock {
    Stock::read(&format!(
        "{PACKAGINGS}box,un_packaging,4D/X200/S/25/GB/1234,520,490,300,20,600,500,400,{bears},200,10,30,\
         {report},yes,yes,yes,yes,yes,yes,yes,yes,yes\n"
    ))
    .unwrap()
}

fn carriers(rows: &[&str]) -> Carriers {
    Carriers::read(&format!("{CARRIERS}{}\n", rows.join("\n"))).unwrap()
}

const PALLET: &str = "pallet,pallet,1200,1000,1300,,150,900,25,20,";
const VAN: &str = "van,vehicle,3000,1700,1800,,,1500,,9,yes";

fn pieces(masses_g: &[i64], soundness: Soundness) -> Vec<Piece> {
    let all = masses_g.iter().enumerate();
    all.map(|(n, mass)| piece(&format!("m{}", n + 1), Regime::Adr, soundness, *mass))
        .collect()
}

/// Packages of the pieces and the haul, both of which their checkers must accept.
fn hauled(pieces: &[Piece], stock: &Stock, carriers: &Carriers) -> (Load, Haul) {
    let load = plan_load("job", pieces, stock);
    assert_eq!(check_load(&load, pieces, stock), []);
    assert_eq!(load.not_packed, []);
    let haul = plan_haul(&load, pieces, stock, carriers);
    assert_eq!(
        check_haul(&haul, &load, pieces, stock, carriers),
        [],
        "{haul:#?}"
    );
    (load, haul)
}

#[test]
fn packages_stand_on_one_another_only_as_far_as_each_may_carry() {
    // Four boxes cover the deck of the pallet; each of the six weighs 50 kg closed.
    let six = pieces(&[40_000; 6], Soundness::Sound);
    for (bears, pallets, highest) in [
        ("50", 1, 400),
        ("49.999", 2, 0),
        ("", 2, 0),
        ("100", 1, 400),
    ] {
        let (_, haul) = hauled(&six, &boxes(bears), &carriers(&[PALLET]));
        let counted = haul.handling_units;
        assert_eq!(
            (counted.count, counted.proven),
            (pallets, true),
            "{bears} kg: {counted:?}"
        );
        let top = haul
            .carried
            .iter()
            .flat_map(|one| &one.stands)
            .map(|one| one.z_mm)
            .max();
        assert_eq!(top, Some(highest), "{bears} kg");
    }
    // Three levels need the lowest to carry two, and the room: 1200 of 1300 mm.
    let twelve = pieces(&[40_000; 12], Soundness::Sound);
    let (_, haul) = hauled(&twelve, &boxes("100"), &carriers(&[PALLET]));
    assert_eq!(haul.handling_units.count, 1);
    let whys = haul.carried[0].stands.iter().map(|one| one.why.as_str());
    assert!(
        whys.clone()
            .any(|why| why.contains("may carry 100 kg; 100 kg stand on it"))
    );
    assert!(whys.clone().all(|why| !why.is_empty()));
    let (_, haul) = hauled(&twelve, &boxes("99"), &carriers(&[PALLET]));
    assert_eq!(haul.handling_units.count, 2);
}

/// ADR 2025, 1.1.3.6.3 and 1.1.3.6.4 (read in translation): category 2 counts three times, at most
/// 333 kg of it and 1,000 points.
#[test]
fn a_van_that_must_stay_a_small_load_does() {
    let (_, haul) = hauled(
        &pieces(&[55_500; 6], Soundness::Sound),
        &boxes("200"),
        &carriers(&[VAN]),
    );
    assert_eq!((haul.vehicles.count, haul.vehicles.proven), (1, true));
    assert_eq!(haul.carried[0].points, "999".parse().ok());
    assert_eq!(haul.carried[0].small_load, Some(true));
    let (_, haul) = hauled(
        &pieces(&[55_500; 7], Soundness::Sound),
        &boxes("200"),
        &carriers(&[VAN]),
    );
    assert_eq!((haul.vehicles.count, haul.vehicles.proven), (2, true));
    // A vehicle that need not takes them all, and says what is then due.
    let any = VAN.replace("yes", "no");
    let (_, haul) = hauled(
        &pieces(&[55_500; 7], Soundness::Sound),
        &boxes("200"),
        &carriers(&[&any]),
    );
    assert_eq!(haul.vehicles.count, 1);
    assert_eq!(haul.carried[0].small_load, Some(false));
    assert!(
        haul.carried[0]
            .duties
            .iter()
            .any(|due| due.contains("orange")),
        "{haul:#?}"
    );
}

#[test]
fn what_is_not_alike_stands_on_a_pallet_each_and_may_share_a_van() {
    let mut mixed = pieces(&[20_000; 3], Soundness::Sound);
    mixed.push(piece("s", Regime::Adr, Soundness::Suspect, 20_000));
    let (load, haul) = hauled(&mixed, &boxes("0"), &carriers(&[PALLET, VAN]));
    assert_eq!(load.count, 4);
    assert_eq!(
        (haul.handling_units.count, haul.handling_units.proven),
        (2, true)
    );
    assert_eq!(haul.vehicles.count, 1);
    let van = haul.carried.last().unwrap();
    assert_eq!(van.stands.len(), 2);
    // 4 boxes of 30 kg on two pallets of 25 kg.
    assert_eq!(van.load_kg, Grams::thousandths(170_000));
}

#[test]
fn what_no_carrier_takes_stays_behind_with_its_reason() {
    let two = pieces(&[40_000; 2], Soundness::Sound);
    let low = PALLET.replace("1300", "399");
    let (_, haul) = hauled(&two, &boxes("0"), &carriers(&[&low]));
    assert_eq!((haul.carried.len(), haul.not_carried.len()), (0, 2));
    assert!(
        haul.not_carried[0].reasons[0]
            .to_string()
            .contains("pallet: room on the carrier")
    );
    // Too few at hand: nothing is half loaded in silence.
    let many = pieces(&[40_000; 5], Soundness::Sound);
    let one = PALLET.replace(",20,", ",1,");
    let (_, haul) = hauled(&many, &boxes("0"), &carriers(&[&one]));
    assert_eq!((haul.carried.len(), haul.not_carried.len()), (0, 5));
    // Without an outer size nothing is guessed.
    let stock = Stock::read(&format!(
        "{PACKAGINGS}box,un_packaging,4D/X200/S/25/GB/1234,520,490,300,20,,,,,200,10,30,,,,,,yes,yes,yes,\
         yes,yes,yes,yes,yes,yes\n"
    ))
    .unwrap();
    let (_, haul) = hauled(&two, &stock, &carriers(&[PALLET]));
    assert!(
        haul.not_carried[0].reasons[0]
            .to_string()
            .contains("outer size")
    );
    // A package that no pallet takes goes loose onto the van.
    let (_, haul) = hauled(&two, &boxes("0"), &carriers(&[&low, VAN]));
    assert_eq!((haul.handling_units.count, haul.vehicles.count), (0, 1));
    assert_eq!(haul.carried[0].stands.len(), 2);
}

/// ADR 2025, P911 and 1.1.3.6 with SP 677 (read in translation): a package for critical batteries
/// travels by its verification report and counts in transport category 0.
#[test]
fn critical_batteries_go_by_their_report_and_never_as_a_small_load() {
    let critical = pieces(&[40_000; 2], Soundness::Critical);
    // Report, types, most batteries, most energy, highest state of charge.
    let whole = "VR-1,LB-2560,1,6000,60";
    let stock = report_boxes("200", whole);
    let free = VAN.replace("yes", "no");
    let (load, haul) = hauled(&critical, &stock, &carriers(&[PALLET, &free]));
    assert_eq!(load.count, 2);
    // Alone on a pallet each, nothing on top though the box would carry it.
    assert_eq!((haul.handling_units.count, haul.vehicles.count), (2, 1));
    let (_, haul) = hauled(&critical, &stock, &carriers(&[VAN]));
    assert_eq!(haul.not_carried.len(), 2);
    assert!(
        haul.not_carried[0].reasons[0]
            .to_string()
            .contains("1.1.3.6.3"),
        "{:?}",
        haul.not_carried
    );
    for less in [
        ",,,,",
        "VR-1,LB-2560,,6000,60",
        "VR-1,LB-2560,1,5000,60",
        "VR-1,LB-2560,1,6000,10",
    ] {
        let load = plan_load("job", &critical, &report_boxes("200", less));
        assert_eq!((load.count, load.not_packed.len()), (0, 2), "{less}");
    }
}

#[test]
fn the_checker_of_hauls_names_what_is_planted() {
    let mut all = pieces(&[40_000; 6], Soundness::Sound);
    all.push(piece("s", Regime::Adr, Soundness::Suspect, 40_000));
    let (stock, carriers) = (boxes("50"), carriers(&[PALLET, VAN]));
    let (load, good) = hauled(&all, &stock, &carriers);
    assert_eq!(good.carried.len(), 3);
    type Plant = fn(&mut Haul);
    type Names = fn(&HaulFault) -> bool;
    let upper = |haul: &Haul| {
        haul.carried[0]
            .stands
            .iter()
            .position(|one| one.z_mm > 0)
            .unwrap()
    };
    assert!(upper(&good) > 0);
    let planted: [(Plant, Names); 15] = [
        (
            |h| drop(h.carried[0].stands.pop()),
            |f| matches!(f, HaulFault::Missing(_)),
        ),
        (
            |h| {
                let twice = h.carried[0].stands[0].clone();
                h.carried[1].stands.push(twice);
            },
            |f| matches!(f, HaulFault::Twice(_)),
        ),
        (
            |h| h.carried[0].stands[0].what = "P99".into(),
            |f| matches!(f, HaulFault::NoSuchThing { .. }),
        ),
        (
            |h| h.carried[0].carrier = "lorry".into(),
            |f| matches!(f, HaulFault::TooFew { count: 0, .. }),
        ),
        (
            |h| h.carried[1].stands.clear(),
            |f| matches!(f, HaulFault::Empty(_)),
        ),
        (
            |h| h.carried[0].load_kg = Grams::thousandths(1),
            |f| matches!(f, HaulFault::WrongNumber { what: "load", .. }),
        ),
        (
            |h| h.carried[2].points = "5".parse().ok(),
            |f| matches!(f, HaulFault::WrongNumber { what: "points", .. }),
        ),
        (
            |h| h.carried[0].stands[0].height_mm = 399,
            |f| matches!(f, HaulFault::OtherSize { .. }),
        ),
        (
            |h| h.carried[0].stands[0].x_mm = 700,
            |f| matches!(f, HaulFault::SticksOut { .. }),
        ),
        (
            |h| {
                let place = h.carried[0].stands[0].clone();
                let other = h.carried[0].stands.iter_mut().rfind(|one| one.z_mm == 0);
                let other = other.unwrap();
                (other.x_mm, other.y_mm) = (place.x_mm, place.y_mm);
            },
            |f| matches!(f, HaulFault::InOneAnother { .. }),
        ),
        (
            |h| {
                for one in &mut h.carried[0].stands {
                    one.z_mm += 10;
                }
            },
            |f| matches!(f, HaulFault::NotBorne { .. }),
        ),
        (
            // All six on one column: the lowest would carry five.
            |h| {
                for (n, one) in h.carried[0].stands.iter_mut().enumerate() {
                    (one.x_mm, one.y_mm, one.z_mm) = (0, 0, 400 * n as u32);
                }
            },
            |f| matches!(f, HaulFault::Crushed { .. }),
        ),
        (
            |h| {
                let other = h.carried[1].stands[0].clone();
                h.carried[0].stands[0].what = other.what;
            },
            |f| matches!(f, HaulFault::KeptApart { .. }),
        ),
        (
            |h| h.vehicles.lower_bound = 2,
            |f| {
                matches!(
                    f,
                    HaulFault::WrongCount {
                        what: "vehicles",
                        ..
                    }
                )
            },
        ),
        (
            |h| h.handling_units.count = 1,
            |f| matches!(f, HaulFault::WrongCount { .. }),
        ),
    ];
    for (at, (plant, names)) in planted.iter().enumerate() {
        let mut bad = good.clone();
        plant(&mut bad);
        let faults = check_haul(&bad, &load, &all, &stock, &carriers);
        assert!(faults.iter().any(names), "fault {at}: {faults:?}");
    }
    // A van by hand with more than a small load, and with more than it may carry.
    let heavy = pieces(&[60_000; 6], Soundness::Sound);
    let free = Carriers::read(&format!("{CARRIERS}{}\n", VAN.replace("yes", "no"))).unwrap();
    let (load, haul) = hauled(&heavy, &stock, &free);
    for (van, names) in [
        (
            VAN.to_owned(),
            (|f| matches!(f, HaulFault::NoSmallLoad { .. })) as Names,
        ),
        (VAN.replace(",1500,", ",400,").replace("yes", "no"), |f| {
            matches!(f, HaulFault::TooHeavy { .. })
        }),
    ] {
        let faults = check_haul(&haul, &load, &heavy, &stock, &self::carriers(&[&van]));
        assert!(faults.iter().any(names), "{van}: {faults:?}");
    }
}

#[test]
fn counts_are_those_of_plain_enumeration() {
    /// Fewest pallets by trying every partition: at most `side` boxes and `most` kg on each.
    fn fewest(masses: &[i64], side: usize, most: i64) -> usize {
        fn deeper(masses: &[i64], side: usize, most: i64, open: &mut Vec<Vec<i64>>) -> usize {
            let Some((first, rest)) = masses.split_first() else {
                return open.len();
            };
            let mut best = usize::MAX;
            for at in 0..=open.len() {
                if at == open.len() {
                    open.push(Vec::new());
                }
                let sum: i64 = open[at].iter().sum();
                if open[at].len() < side && sum + first <= most {
                    open[at].push(*first);
                    best = best.min(deeper(rest, side, most, open));
                    open[at].pop();
                }
                if open[at].is_empty() {
                    open.pop();
                    break;
                }
            }
            best
        }
        deeper(masses, side, most, &mut Vec::new())
    }
    let mut dice = Dice(11);
    for _ in 0..40 {
        let masses: Vec<i64> = (0..dice.from(1, 6))
            .map(|_| 1_000 * dice.from(20, 79) as i64)
            .collect();
        let most = dice.from(90, 209) as i64;
        let row = PALLET.replace(",900,", &format!(",{most},"));
        let (_, haul) = hauled(
            &pieces(&masses, Soundness::Sound),
            &boxes("0"),
            &carriers(&[&row]),
        );
        let gross: Vec<i64> = masses.iter().map(|mass| mass + 10_000).collect();
        let fewest = fewest(&gross, 4, most * 1_000);
        let counted = haul.handling_units;
        assert!(
            counted.lower_bound <= fewest,
            "{masses:?}, {most}: {counted:?}"
        );
        assert_eq!(counted.count, fewest, "{masses:?}, {most} kg: {counted:?}");
    }
}

#[test]
fn a_list_of_carriers_that_does_not_read_is_named() {
    for (rows, said) in [
        (
            "a,pallet,1200,800,1400,,,900,,1,\na,pallet,1200,800,1400,,,900,,1,\n",
            "stands twice",
        ),
        ("a,pallet,0,800,1400,,,900,,1,\n", "above zero"),
        ("a,sledge,1200,800,1400,,,900,,1,\n", "sledge"),
        (
            "a,vehicle,1200,800,1400,,,900,,1,maybe\n",
            "not yes, no or empty",
        ),
    ] {
        let Err(PackingError::Carriers(why)) = Carriers::read(&format!("{CARRIERS}{rows}")) else {
            panic!("{rows} is read");
        };
        assert!(why.contains(said), "{why}");
    }
}
