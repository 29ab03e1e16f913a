//! The answer for each line of a receipt: one planted discrepancy of each kind is found, with the
//! facts of both sides, and nothing else; what was not looked at is said.

use packdown::battery::Soundness;
use packdown::custody::{Answer, Line, RegisterEvent, Scan, SealFound, SealState, Subject};

use crate::dock::{Book, arrived, clean_scans, compared, handover};

fn package_scan(scans: &mut [Scan], id: &str) -> usize {
    scans
        .iter()
        .position(|scan| scan.subject == Subject::Package(id.into()))
        .unwrap()
}

fn answers(lines: &[Line]) -> Vec<(String, Answer)> {
    lines
        .iter()
        .flat_map(|line| {
            line.answers
                .iter()
                .filter(|answer| **answer != Answer::Received)
                .map(|answer| (line.subject.to_string(), *answer))
        })
        .collect()
}

#[test]
fn a_load_as_stated_is_received_and_nothing_is_open() {
    let found = compared(&handover(), &clean_scans());
    assert_eq!(answers(&found.lines), vec![]);
    assert!(found.not_looked_at.is_empty(), "{:?}", found.not_looked_at);
    // Load, three packages, four modules: each has its line.
    assert_eq!(found.lines.len(), 8);
    let module = found
        .lines
        .iter()
        .find(|line| line.subject == Subject::Module("MOD-0003".into()))
        .unwrap();
    assert_eq!(
        module.how.as_deref(),
        Some("under the unbroken seal S3 of P3")
    );
}

/// Each kind of discrepancy, planted alone.
#[test]
fn each_planted_discrepancy_is_found_and_nothing_else() {
    type Plant = fn(&mut Vec<Scan>);
    type Found = &'static [(&'static str, Answer)];
    let cases: [(&str, Plant, Found); 12] = [
        (
            "a package is missing, with what is in it",
            |scans| {
                let at = package_scan(scans, "P2");
                scans.remove(at);
                scans[0].count = Some(2);
            },
            &[
                ("load", Answer::Missing),
                ("package P2", Answer::Missing),
                ("MOD-0002", Answer::Missing),
            ],
        ),
        (
            "a module that nobody stated",
            |scans| scans.push(Scan::of(Subject::Module("MOD-0099".into()))),
            &[("MOD-0099", Answer::Unexpected)],
        ),
        (
            "a package that nobody stated",
            |scans| scans.push(Scan::of(Subject::Package("P9".into()))),
            &[("package P9", Answer::Unexpected)],
        ),
        (
            "visible damage in words",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].damage = Some(vec!["corner crushed".into()]);
            },
            &[("package P1", Answer::Damaged)],
        ),
        (
            "a finding by its code",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].findings = vec!["F10".into()];
            },
            &[("package P1", Answer::Damaged)],
        ),
        (
            "the seal is broken: what is in it must be read",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].seal = Some(SealFound {
                    state: SealState::Broken,
                    number: Some("S1".into()),
                });
            },
            &[
                ("package P1", Answer::SealBroken),
                ("MOD-0001", Answer::Missing),
            ],
        ),
        (
            "another seal is no seal of the sender's",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].seal = Some(SealFound {
                    state: SealState::Intact,
                    number: Some("S9".into()),
                });
                scans.push(Scan::of(Subject::Module("MOD-0001".into())));
            },
            &[("package P1", Answer::SealBroken)],
        ),
        (
            "the seal is missing, the module was read",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].seal = Some(SealFound {
                    state: SealState::Missing,
                    number: None,
                });
                scans.push(Scan::of(Subject::Module("MOD-0001".into())));
            },
            &[("package P1", Answer::SealMissing)],
        ),
        (
            "hotter than it was sent",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].temperature_c = Some("19.1".parse().unwrap());
            },
            &[("package P1", Answer::Hotter)],
        ),
        (
            "the mass is off",
            |scans| {
                let at = package_scan(scans, "P1");
                scans[at].gross_mass_kg = Some("64.65".parse().unwrap());
            },
            &[("package P1", Answer::MassOff)],
        ),
        (
            "one module too few in a package",
            |scans| {
                let at = package_scan(scans, "P3");
                scans[at].count = Some(1);
            },
            &[("package P3", Answer::Missing)],
        ),
        (
            "the same serial twice",
            |scans| {
                scans.push(Scan::of(Subject::Module("MOD-0004".into())));
                scans.push(Scan::of(Subject::Module("MOD-0004".into())));
            },
            &[("MOD-0004", Answer::Twice)],
        ),
    ];
    for (what, plant, expected) in cases {
        let mut scans = clean_scans();
        plant(&mut scans);
        let found = compared(&handover(), &scans);
        let expected: Vec<(String, Answer)> = expected
            .iter()
            .map(|(subject, answer)| ((*subject).to_owned(), *answer))
            .collect();
        assert_eq!(answers(&found.lines), expected, "{what}");
        for line in found.discrepancies() {
            assert_eq!(line.answers.len(), line.reasons.len(), "{what}");
            assert!(
                line.reasons.iter().all(|reason| !reason.way_out.is_empty()),
                "{what}"
            );
        }
    }
}

/// Just inside each tolerance nothing is said.
#[test]
fn what_stays_inside_a_tolerance_is_no_discrepancy() {
    // 1 % of 64.0 kg is 0.64 kg; 5 K over 14.0 degC, and over 12.0 degC air, is 17.0 degC.
    let mut scans = clean_scans();
    let at = package_scan(&mut scans, "P1");
    scans[at].gross_mass_kg = Some("64.64".parse().unwrap());
    scans[at].temperature_c = Some("17.0".parse().unwrap());
    assert_eq!(answers(&compared(&handover(), &scans).lines), vec![]);
    scans[at].gross_mass_kg = Some("64.641".parse().unwrap());
    scans[at].temperature_c = Some("17.001".parse().unwrap());
    assert_eq!(
        answers(&compared(&handover(), &scans).lines),
        vec![
            ("package P1".into(), Answer::MassOff),
            ("package P1".into(), Answer::Hotter)
        ]
    );
    // The tolerance and its owner stand with the answer, and it is not shown as law.
    let found = compared(&handover(), &scans);
    let line = found.discrepancies().next().unwrap();
    assert!(line.reasons[0].clause.contains("not law; owner:"));
    // Light goods: half a kilogram is never counted.
    let mut light = handover();
    light.packages[0].gross_mass_kg = Some("10.0".parse().unwrap());
    scans[at].temperature_c = Some("13.0".parse().unwrap());
    scans[at].gross_mass_kg = Some("10.5".parse().unwrap());
    assert_eq!(answers(&compared(&light, &scans).lines), vec![]);
}

#[test]
fn a_module_in_a_package_of_another_is_told() {
    let mut scan = Scan::of(Subject::Module("MOD-0001".into()));
    scan.package = Some("P2".into());
    let mut scans = clean_scans();
    scans.push(scan);
    let found = compared(&handover(), &scans);
    assert_eq!(
        answers(&found.lines),
        vec![("MOD-0001".into(), Answer::Unexpected)]
    );
}

#[test]
fn a_serial_that_stands_twice_on_the_senders_list_is_told() {
    let mut twice = handover();
    twice.packages[1].modules[0].identity = "MOD-0001".into();
    let found = compared(&twice, &clean_scans());
    let told: Vec<_> = answers(&found.lines);
    assert_eq!(
        told,
        vec![
            ("MOD-0001".into(), Answer::Twice),
            ("MOD-0001".into(), Answer::Twice)
        ]
    );
}

#[test]
fn a_serial_that_only_looks_alike_is_hinted_not_taken() {
    let mut scans = clean_scans();
    scans.push(Scan::of(Subject::Module("M0D-OOO1".into())));
    let found = compared(&handover(), &scans);
    let line = found.lines.last().unwrap();
    assert_eq!(line.answers, vec![Answer::Unexpected]);
    assert_eq!(line.found["looks_like"], "MOD-0001");
}

#[test]
fn what_nobody_looked_at_is_said_and_is_no_clean_receipt() {
    // Only the labels were scanned.
    let scans: Vec<Scan> = ["P1", "P2", "P3"]
        .iter()
        .map(|id| Scan::of(Subject::Package((*id).into())))
        .collect();
    let found = compared(&handover(), &scans);
    assert_eq!(
        found.not_looked_at,
        vec![
            "count of the pieces: load",
            "gross mass: P1, P2, P3",
            "seal: P1, P2, P3",
            "temperature: P1, P2, P3",
            "visible damage: P1, P2, P3",
        ]
    );
    // A seal that nobody looked at vouches for nothing.
    assert!(
        answers(&found.lines)
            .iter()
            .all(|(subject, answer)| subject.starts_with("MOD") && *answer == Answer::Missing)
    );
    // A whole seal of which nobody read the number does not either.
    let mut scans = clean_scans();
    let at = package_scan(&mut scans, "P1");
    scans[at].seal = Some(SealFound {
        state: SealState::Intact,
        number: None,
    });
    let found = compared(&handover(), &scans);
    assert_eq!(found.not_looked_at, vec!["number of the seal: P1"]);
    assert_eq!(
        answers(&found.lines),
        vec![("MOD-0001".into(), Answer::Missing)]
    );
}

#[test]
fn unknown_masses_and_temperatures_are_never_compared_as_zero() {
    let mut bare = handover();
    for package in &mut bare.packages {
        package.gross_mass_kg = None;
        package.surface_temperature_c = None;
    }
    let mut scans = clean_scans();
    scans[0].air_c = None;
    let found = compared(&bare, &scans);
    assert_eq!(answers(&found.lines), vec![]);
    assert_eq!(
        found.not_looked_at,
        vec!["temperature at the release, or of the air, to compare with: P1, P2, P3"]
    );
    // Against the air it can be judged, and at 60 degC without anything to compare with.
    scans[0].air_c = Some("8.0".parse().unwrap());
    let found = compared(&bare, &scans);
    assert_eq!(answers(&found.lines).len(), 3);
    scans[0].air_c = None;
    let at = package_scan(&mut scans, "P2");
    scans[at].temperature_c = Some("60".parse().unwrap());
    assert_eq!(
        answers(&compared(&bare, &scans).lines),
        vec![("package P2".into(), Answer::Hotter)]
    );
}

#[test]
fn a_scan_that_was_taken_back_does_not_count() {
    let mut scans = clean_scans();
    scans.push(Scan::of(Subject::Module("MOD-0099".into())));
    let mut back = Scan::of(Subject::Load);
    back.sight = false;
    back.withdraws = Some(u32::try_from(scans.len()).unwrap());
    scans.push(back);
    assert_eq!(answers(&compared(&handover(), &scans).lines), vec![]);
}

#[test]
fn the_worse_of_stated_and_found_counts_and_doubt_goes_up() {
    let mut scans = clean_scans();
    // Damage on the box makes what is in it suspect; damage on a module, undiagnosed; a surface
    // of 60 degC, critical; a swollen case (F10) damaged.
    let p1 = package_scan(&mut scans, "P1");
    scans[p1].damage = Some(vec!["corner crushed".into()]);
    let mut seen = Scan::of(Subject::Module("MOD-0002".into()));
    seen.damage = Some(vec!["terminal cover gone".into()]);
    scans.push(seen);
    let mut hot = Scan::of(Subject::Module("MOD-0003".into()));
    hot.temperature_c = Some("61".parse().unwrap());
    scans.push(hot);
    let mut swollen = Scan::of(Subject::Module("MOD-0004".into()));
    swollen.findings = vec!["F10".into()];
    scans.push(swollen);
    let mut book = Book::new("other");
    let closing = book.receive(&handover(), scans, Some("A"));
    for (identity, soundness, bay) in [
        ("MOD-0001", Soundness::Suspect, "H"),
        ("MOD-0002", Soundness::Undiagnosed, "H"),
        ("MOD-0003", Soundness::Critical, "Y"),
        ("MOD-0004", Soundness::Damaged, "Y"),
    ] {
        let one = arrived(&closing, identity);
        assert_eq!(one.soundness, soundness, "{identity}");
        assert_eq!(one.bay.as_deref(), Some(bay), "{identity}");
        assert!(book.register.item(identity).unwrap().hold.is_some());
    }
}

#[test]
fn every_difference_becomes_an_entry_with_both_sides() {
    let mut scans = clean_scans();
    let p1 = package_scan(&mut scans, "P1");
    scans[p1].gross_mass_kg = Some("70".parse().unwrap());
    scans.push(Scan::of(Subject::Module("MOD-0099".into())));
    let mut book = Book::new("other");
    let closing = book.receive(&handover(), scans, None);
    let cases: Vec<_> = closing
        .events
        .iter()
        .filter_map(|event| match event {
            RegisterEvent::Discrepancy(one) => Some(one),
            _ => None,
        })
        .collect();
    assert_eq!(cases.len(), 2);
    assert_eq!(cases[0].id, "R1/mass_off/package-P1");
    assert_eq!(cases[0].sent["gross_mass_kg"], "64.0");
    assert_eq!(cases[0].found["gross_mass_kg"], "70");
    assert_eq!(cases[1].id, "R1/unexpected/MOD-0099");
    assert_eq!(book.register.open_cases().len(), 2);
    // Written again, as after a cut between two writes, it is still one case.
    let again = RegisterEvent::Discrepancy(cases[0].clone());
    book.apply(vec![again]);
    assert_eq!(book.register.open_cases().len(), 2);
}
