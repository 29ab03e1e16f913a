//! Several layers in one packaging: only where packaging, divider and modules are known to allow it;
//! weights, heights and terminals to the last gram and millimetre; counts against plain enumeration.
//!
//! What is expected follows from the rule that no battery terminal carries anything (49 CFR
//! 173.185(b)(5) and ADR P903(2), both read), from statics (upward forces of supports add up to the
//! load, so none is above it), and from what makers of modules and dividers state. That only sound
//! modules stand in layers is common practice, no source.

use packdown::battery::Soundness;
use packdown::packing::{Load, LoadFault, Piece, Stock, check_load, plan_load};
use packdown::transport::Regime;
use packdown::units::Grams;

use crate::packing_brute::Dice;
use crate::packing_load::piece;

/// A stock of one box, column by column; what is not named is empty.
#[derive(Clone)]
struct Design(Vec<(&'static str, String)>);

impl Design {
    /// Room for one module a layer, two layers to the millimetre: 2 x (133 + 2 x 20) + 12 = 358.
    fn column() -> Self {
        let cells = [
            ("id", "column"),
            ("kind", "un_packaging"),
            ("mark", "4D/X400/S/25/GB/1234"),
            ("inner_length_mm", "520"),
            ("inner_width_mm", "482"),
            ("inner_height_mm", "358"),
            ("gap_mm", "20"),
            ("max_gross_kg", "400"),
            ("tare_kg", "30"),
            ("count", "20"),
            ("max_layers", "2"),
            ("divider_rests_on", "modules"),
            ("divider_mm", "12"),
            ("divider_kg", "3"),
            ("divider_bears_kg", "60"),
            ("divider_non_conductive", "yes"),
            ("divider_clears_terminals", ""),
        ];
        Self(cells.map(|(column, cell)| (column, cell.into())).to_vec())
    }

    fn with(mut self, column: &'static str, cell: impl ToString) -> Self {
        let known = self.0.iter_mut().find(|(name, _)| *name == column);
        known.unwrap().1 = cell.to_string();
        self
    }

    fn stock(&self) -> Stock {
        let inside = [
            "inner_each_alone",
            "inner_fully_enclosed",
            "inner_non_metallic",
            "inner_leakproof",
            "cushioning_non_combustible",
            "cushioning_non_conductive",
            "cushioning_absorbent",
            "cushioning_thermal_insulation",
        ];
        let heads = self.0.iter().map(|(column, _)| *column).chain(inside);
        let cells = self.0.iter().map(|(_, cell)| cell.as_str());
        let cells = cells.chain(inside.map(|_| "yes"));
        let row = |cells: Vec<&str>| cells.join(",");
        Stock::read(&format!(
            "{}\n{}\n",
            row(heads.collect()),
            row(cells.collect())
        ))
        .unwrap()
    }
}

/// A sound module that may carry `bears` kilograms and has its terminals at the front.
fn bearer(name: &str, mass_g: i64, bears: &str) -> Piece {
    let mut piece = piece(name, Regime::Adr, Soundness::Sound, mass_g);
    piece.stack_load = bears.parse().ok();
    piece.terminals_on_top = Some(false);
    piece
}

fn bearers(count: usize, mass_g: i64, bears: &str) -> Vec<Piece> {
    (1..=count)
        .map(|n| bearer(&format!("m{n}"), mass_g, bears))
        .collect()
}

fn planned(pieces: &[Piece], stock: &Stock) -> Load {
    let load = plan_load("job", pieces, stock);
    assert_eq!(check_load(&load, pieces, stock), [], "{load:#?}");
    assert_eq!(load.not_packed, []);
    load
}

#[test]
fn two_layers_where_all_is_known_and_one_where_anything_is_not() {
    let two = bearers(2, 49_500, "60");
    let load = planned(&two, &Design::column().stock());
    assert_eq!((load.count, load.proven), (1, true));
    let package = &load.packages[0];
    assert_eq!(package.dividers, 1);
    // 99 kg of modules, 30 kg of box, 3 kg of divider.
    assert_eq!(package.gross_mass_kg, Grams::thousandths(132_000));
    let floors: Vec<u32> = package.placements.iter().map(|one| one.z_mm).collect();
    // The upper one stands on the divider: 20 + 133 + 20 + 12.
    assert_eq!(floors, [0, 185]);
    let layers = package
        .placements
        .iter()
        .map(|one| (package.layer_of(one), one.why.as_str()));
    for (n, (layer, why)) in layers.enumerate() {
        assert_eq!(layer, (n + 1, 2));
        assert!(why.starts_with(&format!("layer {} of 2", n + 1)), "{why}");
    }
    assert!(load.duties.iter().any(|due| due.contains("divider")));

    // One cell at a time: what is not known, or says no, leaves one layer, and the plan says why.
    for (column, cell, said) in [
        ("max_layers", "", "one layer"),
        ("max_layers", "1", "one layer"),
        ("divider_rests_on", "", "`divider_rests_on`"),
        ("divider_mm", "", "`divider_mm`"),
        ("divider_kg", "", "`divider_kg`"),
        ("divider_bears_kg", "", "`divider_bears_kg`"),
        ("divider_non_conductive", "", "`divider_non_conductive`"),
        ("divider_non_conductive", "no", "does not conduct"),
    ] {
        let load = planned(&two, &Design::column().with(column, cell).stock());
        assert_eq!((load.count, load.packages[0].dividers), (2, 0), "{column}");
        let why = &load.packages[0].placements[0].why;
        assert!(why.contains(said), "{column} `{cell}`: {why}");
        assert!(
            load.duties
                .iter()
                .any(|due| due.contains("one layer in each"))
        );
    }
}

#[test]
fn limits_hold_to_the_gram_and_to_the_millimetre() {
    // Above the divider stand 49.5 kg; on the module below, the divider of 3 kg too.
    let count = |design: Design, bears: &str| {
        let load = planned(&bearers(2, 49_500, bears), &design.stock());
        assert!(load.lower_bound <= load.count);
        load.count
    };
    for (column, enough, too_little) in [
        ("divider_bears_kg", "49.5", "49.499"),
        ("inner_height_mm", "358", "357"),
        ("max_gross_kg", "132", "131.999"),
        ("divider_mm", "12", "13"),
        ("divider_kg", "10.5", "10.501"),
    ] {
        for (cell, packages) in [(enough, 1), (too_little, 2)] {
            let design = Design::column().with(column, cell);
            assert_eq!(count(design, "60"), packages, "{column} {cell}");
        }
    }
    for (bears, packages) in [("52.5", 1), ("52.499", 2), ("", 2)] {
        assert_eq!(count(Design::column(), bears), packages, "{bears} kg");
    }
    // A shelf of the packaging carries: what the module may carry does not matter, what it may does.
    let shelf = Design::column().with("divider_rests_on", "packaging");
    assert_eq!(count(shelf.clone(), ""), 1);
    assert_eq!(count(shelf.with("divider_bears_kg", "49.499"), ""), 2);
}

#[test]
fn nothing_ever_stands_on_a_terminal() {
    for (on_top, clears, packages) in [
        (Some(true), "", 2),
        (Some(true), "no", 2),
        (Some(true), "yes", 1),
        (None, "", 2),
        (None, "yes", 1),
        (Some(false), "", 1),
        (Some(false), "no", 1),
    ] {
        let mut two = bearers(2, 49_500, "60");
        for one in &mut two {
            one.terminals_on_top = on_top;
        }
        let stock = Design::column()
            .with("divider_clears_terminals", clears)
            .stock();
        assert_eq!(
            planned(&two, &stock).count,
            packages,
            "{on_top:?} `{clears}`"
        );
    }
    // The one on top carries nothing: of it nothing need be known.
    let mut two = bearers(2, 49_500, "60");
    (two[0].stack_load, two[0].terminals_on_top) = (None, None);
    let load = planned(&two, &Design::column().stock());
    assert_eq!(load.count, 1);
    let lowest = load.packages[0].placements.iter().find(|one| one.z_mm == 0);
    assert_eq!(lowest.unwrap().module, "m2");
}

#[test]
fn only_sound_modules_stand_in_layers_and_only_upright() {
    for soundness in [
        Soundness::Suspect,
        Soundness::Damaged,
        Soundness::Undiagnosed,
        Soundness::Critical,
    ] {
        let mut two = bearers(2, 20_000, "60");
        for one in &mut two {
            one.legs[0].item.soundness = Some(soundness);
        }
        let load = plan_load("job", &two, &Design::column().stock());
        assert_eq!(check_load(&load, &two, &Design::column().stock()), []);
        let most = load.packages.iter().map(|one| one.placements.len()).max();
        assert!(most.unwrap_or(0) <= 1, "{soundness}: {load:#?}");
    }
    // On its side it would go in twice: 442 high it does not, and no maker lets it carry so.
    let mut two = bearers(2, 20_000, "60");
    for one in &mut two {
        one.size_mm = Some([480, 133, 442]);
        one.may_lie = true;
    }
    let load = planned(&two, &Design::column().stock());
    assert_eq!((load.count, load.packages[0].dividers), (2, 0));
}

/// A box of two columns: what the upper modules weigh together may come onto any one below, since it
/// is not known how the divider shares it out.
#[test]
fn each_module_below_may_have_to_carry_the_whole_upper_layer() {
    let double = Design::column()
        .with("inner_length_mm", "1020")
        .with("divider_bears_kg", "200");
    // Four of 49.5 kg: two above weigh 99 kg, with the divider 102 kg.
    for (bears, packages) in [("102", 1), ("101.999", 2)] {
        let load = planned(&bearers(4, 49_500, bears), &double.stock());
        assert_eq!(load.count, packages, "{bears} kg");
    }
    // Three: one above, 52.5 kg.
    assert_eq!(
        planned(&bearers(3, 49_500, "52.5"), &double.stock()).count,
        1
    );
    // Three layers of one: the lowest carries two modules and two dividers, 105 kg.
    let high = Design::column()
        .with("inner_height_mm", "543")
        .with("max_layers", "3")
        .with("divider_bears_kg", "103");
    for (bears, packages) in [("105", 1), ("104.999", 2)] {
        let load = planned(&bearers(3, 49_500, bears), &high.stock());
        assert_eq!(load.count, packages, "{bears} kg");
    }
    // The lower divider carries two modules and the upper divider: 102 kg.
    let weak = high.with("divider_bears_kg", "101.999");
    assert_eq!(planned(&bearers(3, 49_500, "105"), &weak.stock()).count, 2);
}

#[test]
fn the_checker_names_what_is_planted_in_layers() {
    let double = Design::column()
        .with("inner_length_mm", "1020")
        .with("divider_bears_kg", "200");
    let pieces = bearers(4, 49_500, "110");
    let good = planned(&pieces, &double.stock());
    assert_eq!(good.packages[0].dividers, 1);
    let borne = |fault: &LoadFault, said: &str| match fault {
        LoadFault::NotBorne { what, .. } => what.contains(said),
        _ => false,
    };
    // The same plan with a packaging or modules that do not allow it.
    for (column, cell, said) in [
        ("max_layers", "", "takes 1"),
        ("divider_rests_on", "", "what the divider rests on"),
        ("divider_mm", "", "the thickness of the divider"),
        ("divider_kg", "", "the mass of the divider"),
        ("divider_bears_kg", "", "what may stand on the divider"),
        (
            "divider_bears_kg",
            "98.999",
            "may carry 98.999 kg, and 99 kg",
        ),
        ("divider_non_conductive", "", "does not conduct"),
        ("divider_non_conductive", "no", "does not conduct"),
        ("divider_mm", "13", "no room"),
        ("divider_mm", "11", "flat"),
    ] {
        let stock = double.clone().with(column, cell).stock();
        let faults = check_load(&good, &pieces, &stock);
        assert!(
            faults.iter().any(|fault| borne(fault, said)),
            "{column} `{cell}`: {faults:?}"
        );
    }
    type Change = fn(&mut Piece);
    let changes: [(Change, &str); 4] = [
        (
            |piece| piece.stack_load = Some(Grams::thousandths(101_999)),
            "may carry 101.999 kg, and 102 kg",
        ),
        (|piece| piece.stack_load = None, "may carry 0 kg"),
        (|piece| piece.terminals_on_top = None, "terminals"),
        (
            |piece| piece.legs[0].item.soundness = Some(Soundness::Suspect),
            "only sound modules",
        ),
    ];
    for (change, said) in changes {
        let mut other = pieces.clone();
        other.iter_mut().for_each(change);
        let faults = check_load(&good, &other, &double.stock());
        assert!(
            faults.iter().any(|fault| borne(fault, said)),
            "{said}: {faults:?}"
        );
    }
    // The plan itself made wrong.
    type Plant = fn(&mut Load);
    type Names = fn(&LoadFault) -> bool;
    let not_borne: Names = |fault| matches!(fault, LoadFault::NotBorne { .. });
    let number: Names = |fault| {
        matches!(
            fault,
            LoadFault::WrongNumber {
                what: "number of dividers",
                ..
            }
        )
    };
    let upper = |load: &Load| {
        let placements = &load.packages[0].placements;
        placements.iter().position(|one| one.z_mm > 0).unwrap()
    };
    assert!(upper(&good) >= 2, "the first two stand below");
    let planted: [(Plant, Names); 8] = [
        (|load| load.packages[0].dividers = 0, number),
        (|load| load.packages[0].dividers = 2, number),
        (
            // On the divider, but off the module that carries it.
            |load| load.packages[0].placements[3].x_mm += 1,
            not_borne,
        ),
        (
            // In the air above the divider.
            |load| {
                for one in &mut load.packages[0].placements {
                    one.z_mm = if one.z_mm > 0 { 186 } else { 0 };
                }
            },
            not_borne,
        ),
        (
            // Through the lid.
            |load| load.packages[0].placements[3].z_mm += 1,
            |fault| matches!(fault, LoadFault::SticksOut { .. }),
        ),
        (
            // Everything hangs.
            |load| {
                for one in &mut load.packages[0].placements {
                    one.z_mm += 1;
                }
            },
            not_borne,
        ),
        (
            // One on the other without room for the divider.
            |load| {
                for one in &mut load.packages[0].placements {
                    one.z_mm = one.z_mm.min(173);
                }
            },
            not_borne,
        ),
        (
            // In one another.
            |load| {
                for one in &mut load.packages[0].placements {
                    one.z_mm = one.z_mm.min(100);
                }
            },
            |fault| matches!(fault, LoadFault::TooClose { .. }),
        ),
    ];
    for (at, (plant, names)) in planted.into_iter().enumerate() {
        let mut load = good.clone();
        plant(&mut load);
        let faults = check_load(&load, &pieces, &double.stock());
        assert!(faults.iter().any(names), "{at}: {faults:?}");
    }
    // A gross mass that forgets the divider.
    let mut load = good.clone();
    load.packages[0].gross_mass_kg = Grams::thousandths(228_000);
    let faults = check_load(&load, &pieces, &double.stock());
    assert!(
        faults.iter().any(|fault| matches!(
            fault,
            LoadFault::WrongNumber {
                what: "gross mass",
                ..
            }
        )),
        "{faults:?}"
    );
    // A plan made before there were layers, without z and dividers, is read as one layer.
    let one_layer = planned(&pieces, &double.clone().with("max_layers", "").stock());
    let text = serde_json::to_string(&one_layer).unwrap();
    assert!(!text.contains("z_mm") && !text.contains("dividers"));
    let again: Load = serde_json::from_str(&text).unwrap();
    assert_eq!(again, one_layer);
}

/// What a module of the enumeration weighs and may carry, in grams.
type Plain = (i64, i64);

/// Whether these stand on one another in some order, in a box of one column: divider of 3 kg that
/// carries `divider` grams, at most `layers`, at most `net` grams with the dividers.
fn stands(column: &[Plain], layers: usize, divider: i64, net: i64) -> bool {
    fn any_order(left: &[Plain], above: Option<i64>, divider: i64) -> bool {
        left.is_empty()
            || (0..left.len()).any(|at| {
                let (mass, bears) = left[at];
                let mut rest = left.to_vec();
                rest.remove(at);
                match above {
                    // From the top down: the first one carries nothing.
                    None => any_order(&rest, Some(mass), divider),
                    Some(above) => {
                        above <= divider
                            && above + 3_000 <= bears
                            && any_order(&rest, Some(above + 3_000 + mass), divider)
                    }
                }
            })
    }
    let mass: i64 = column.iter().map(|one| one.0).sum();
    column.len() <= layers
        && mass + 3_000 * (column.len() as i64 - 1) <= net
        && any_order(column, None, divider)
}

/// Fewest boxes by trying every partition.
fn fewest(modules: &[Plain], may: &dyn Fn(&[Plain]) -> bool) -> usize {
    fn go(
        left: &[Plain],
        boxes: &mut Vec<Vec<Plain>>,
        best: &mut usize,
        may: &dyn Fn(&[Plain]) -> bool,
    ) {
        let Some((first, rest)) = left.split_first() else {
            if boxes.iter().all(|one| may(one)) {
                *best = (*best).min(boxes.len());
            }
            return;
        };
        for at in 0..boxes.len() {
            boxes[at].push(*first);
            go(rest, boxes, best, may);
            boxes[at].pop();
        }
        boxes.push(vec![*first]);
        go(rest, boxes, best, may);
        boxes.pop();
    }
    let mut best = modules.len();
    go(modules, &mut Vec::new(), &mut best, may);
    best
}

#[test]
fn columns_are_as_few_as_any_partition_in_any_order() {
    let mut dice = Dice(29);
    let (mut layered, mut exact, cases) = (0, 0, 60);
    for case in 0..cases {
        let count = dice.from(2, 6) as usize;
        let layers = dice.from(2, 3) as usize;
        let divider = 1_000 * dice.from(40, 110) as i64;
        let gross = dice.from(120, 220) as i64;
        let modules: Vec<Plain> = (0..count)
            .map(|_| {
                let mass = [22_000, 38_000, 61_000][dice.from(0, 2) as usize];
                (mass, [0, 45_000, 120_000][dice.from(0, 2) as usize])
            })
            .collect();
        let pieces: Vec<Piece> = modules
            .iter()
            .enumerate()
            .map(|(n, (mass, bears))| {
                let bears = Grams::thousandths(*bears).decimal().to_string();
                bearer(&format!("m{n}"), *mass, &bears)
            })
            .collect();
        let design = Design::column()
            .with("inner_height_mm", 173 * layers + 12 * (layers - 1))
            .with("max_layers", layers)
            .with(
                "divider_bears_kg",
                Grams::thousandths(divider).decimal().to_string(),
            )
            .with("max_gross_kg", gross);
        let load = planned(&pieces, &design.stock());
        let may = |column: &[Plain]| stands(column, layers, divider, (gross - 30) * 1_000);
        let least = fewest(&modules, &may);
        assert!(load.lower_bound <= least, "case {case}: {load:?}");
        assert!(load.count >= least, "case {case}: {modules:?}");
        assert!(!load.proven || load.count == least, "case {case}");
        exact += usize::from(load.count == least);
        layered += usize::from(load.packages.iter().any(|one| one.dividers > 0));
    }
    assert!(layered > cases / 3, "{layered} of {cases} in layers");
    assert_eq!(exact, cases, "as few as any partition");
}

/// Shelves: each layer is a floor of its own, below what its shelf carries.
#[test]
fn shelves_are_as_few_as_any_partition() {
    let mut dice = Dice(31);
    for case in 0..40 {
        let count = dice.from(2, 6) as usize;
        let shelf = dice.from(25, 65) as i64;
        let modules: Vec<Plain> = (0..count)
            .map(|_| ([22_000, 38_000, 61_000][dice.from(0, 2) as usize], 0))
            .collect();
        let pieces: Vec<Piece> = modules
            .iter()
            .enumerate()
            .map(|(n, (mass, _))| bearer(&format!("m{n}"), *mass, ""))
            .collect();
        let design = Design::column()
            .with("divider_rests_on", "packaging")
            .with("divider_bears_kg", shelf);
        let load = planned(&pieces, &design.stock());
        let may = |two: &[Plain]| {
            let lightest = two.iter().map(|one| one.0).min().unwrap_or(0);
            two.len() < 2 || (two.len() == 2 && lightest <= shelf * 1_000)
        };
        assert_eq!(
            load.count,
            fewest(&modules, &may),
            "case {case}: {modules:?}"
        );
    }
}

#[test]
fn numbers_of_a_divider_that_cannot_be_are_refused() {
    use packdown::packing::PackingError;
    for (column, cell, said) in [
        ("max_layers", "0", "max_layers is 0"),
        ("divider_kg", "-1", "less than nothing"),
        ("divider_bears_kg", "-0.5", "less than nothing"),
        ("divider_rests_on", "air", "air"),
        ("divider_non_conductive", "perhaps", "perhaps"),
    ] {
        let design = Design::column().with(column, cell);
        let heads: Vec<&str> = design.0.iter().map(|(head, _)| *head).collect();
        let cells: Vec<&str> = design.0.iter().map(|(_, cell)| cell.as_str()).collect();
        let text = format!("{}\n{}\n", heads.join(","), cells.join(","));
        let Err(PackingError::Stock(why)) = Stock::read(&text) else {
            panic!("{column} `{cell}` is read");
        };
        assert!(why.contains(said), "{why}");
    }
}
