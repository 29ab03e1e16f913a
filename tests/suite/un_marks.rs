//! The mark on a UN packaging, against published marks and marks made wrong on purpose.

use packdown::transport::{MarkStanding, PackagingMark, check_mark};

#[test]
fn published_marks_are_read_and_bad_ones_refused() {
    let mut counted = [0_u32; 3];
    for line in include_str!("../cases/un-marks.tsv").lines().skip(1) {
        let [mark, expected, source] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("three columns: {line}");
        };
        let answer = check_mark(mark);
        let (standing, nth) = if expected.contains("not a UN mark") {
            (MarkStanding::NotAUnMark, 2)
        } else if expected.starts_with("valid") {
            (MarkStanding::Valid, 0)
        } else {
            (MarkStanding::Invalid, 1)
        };
        counted[nth] += 1;
        assert_eq!(
            answer.answer, standing,
            "{mark} [{source}]: {expected}; {:?}",
            answer.reasons
        );
        assert_eq!(
            answer.reasons.is_empty(),
            standing == MarkStanding::Valid,
            "{mark}"
        );
        assert_eq!(
            PackagingMark::read(mark).is_some(),
            standing == MarkStanding::Valid,
            "{mark}"
        );
    }
    assert_eq!(counted, [12, 10, 1], "every vector was read");
}

#[test]
fn the_parts_of_published_marks_are_told_apart() {
    // ADR/RID 2025, 6.1.3.11, 6.1.3.12 and 6.6.3.2 (read in translation); Transport Canada FAQ 208.
    for (mark, code, group, gross, kind, year, month, state, maker) in [
        (
            "UN 4G/Y145/S/02 NL/VL823",
            "4G",
            "Y",
            "145",
            "S",
            2002,
            0,
            "NL",
            "VL823",
        ),
        (
            "UN 1A2/Y150/S/01 NL/VL825",
            "1A2",
            "Y",
            "150",
            "S",
            2001,
            0,
            "NL",
            "VL825",
        ),
        (
            "UN 4HW/Y136/S/98 NL/VL826",
            "4H",
            "Y",
            "136",
            "S",
            1998,
            0,
            "NL",
            "VL826",
        ),
        (
            "UN 1A2/Y/150/S/99 USA/RB/00 R",
            "1A2",
            "Y",
            "150",
            "S",
            1999,
            0,
            "USA",
            "RB",
        ),
        (
            "UN 1A2/Y/100/01 USA/MM5",
            "1A2",
            "Y",
            "null",
            "100",
            2001,
            0,
            "USA",
            "MM5",
        ),
        (
            "1A1 / Y 1.8 / 100 / 16 CAN / ABC 2-001",
            "1A1",
            "Y",
            "null",
            "100",
            2016,
            0,
            "CAN",
            "ABC 2-001",
        ),
        (
            "UN 50A/X/05 01/N/PQRS 2500/1000",
            "50A",
            "X",
            "1000",
            "",
            2001,
            5,
            "N",
            "PQRS",
        ),
        (
            "UN 50AT/Y/05/01/B/PQRS 2500/1000",
            "50A",
            "Y",
            "1000",
            "",
            2001,
            5,
            "B",
            "PQRS",
        ),
        (
            "UN 50H/Y/04 02/D/ABCD 987 0/800",
            "50H",
            "Y",
            "800",
            "",
            2002,
            4,
            "D",
            "ABCD 987",
        ),
    ] {
        let answer = serde_json::to_value(check_mark(mark)).unwrap();
        let or_null = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        assert_eq!(answer["code"], code, "{mark}");
        assert_eq!(answer["group"], group, "{mark}");
        assert_eq!(answer["gross_limit_kg"].to_string(), gross, "{mark}");
        assert_eq!(
            answer["kind"].as_str().map(str::to_owned),
            or_null(kind),
            "{mark}"
        );
        assert_eq!(answer["year"], year, "{mark}");
        assert_eq!(answer["month"].as_u64().unwrap_or(0), month, "{mark}");
        assert_eq!(answer["state"], state, "{mark}");
        assert_eq!(answer["maker"], maker, "{mark}");
        assert_eq!(answer["large"], code.starts_with('5'), "{mark}");
        assert_eq!(answer["salvage"], mark.contains("AT/"), "{mark}");
    }
}

#[test]
fn no_part_of_a_mark_may_be_left_out() {
    // Derived by us from 6.1.3.1 and 6.6.3.1: each part must be there.
    for whole in ["4D/X90/S/25/GB/1234", "50D/Y/05/24/GB/AB12/0/500"] {
        let parts: Vec<&str> = whole.split('/').collect();
        assert!(PackagingMark::read(whole).is_some());
        for n in 0..parts.len() {
            let mut fewer = parts.clone();
            fewer.remove(n);
            let fewer = fewer.join("/");
            assert_eq!(PackagingMark::read(&fewer), None, "{fewer}");
        }
    }
}

/// The answer, and of what its first reason is.
fn read(mark: &str) -> (MarkStanding, String, String) {
    let answer = check_mark(mark);
    let (what, value) = answer
        .reasons
        .first()
        .map_or_else(Default::default, |reason| {
            (reason.what.clone(), reason.value.clone())
        });
    (answer.answer, what, value)
}

fn valid(mark: &str) -> bool {
    read(mark).0 == MarkStanding::Valid
}

#[test]
fn each_part_ends_where_the_rule_says() {
    // ADR/RID 2025, 6.1.2, 6.1.3.1 and 6.6.3.1 (read in translation); one step either side.
    for (good, bad, what) in [
        // A mass above nothing; months 01 to 12; a pressure of two digits or more.
        (
            "UN 4G/Y0.001/S/02/NL/VL823",
            "UN 4G/Y0/S/02/NL/VL823",
            "gross mass",
        ),
        (
            "UN 50A/X/12 01/N/PQRS 0/0.001",
            "UN 50A/X/12 01/N/PQRS 0/0",
            "masses",
        ),
        (
            "UN 50A/X/12 01/N/PQRS 2500/1000",
            "UN 50A/X/00 01/N/PQRS 2500/1000",
            "month and year",
        ),
        (
            "UN 50A/X/01 01/N/PQRS 2500/1000",
            "UN 50A/X/13 01/N/PQRS 2500/1000",
            "month and year",
        ),
        (
            "UN 1H2/Y200/S/25 12/GB/AB",
            "UN 1H2/Y200/S/25 13/GB/AB",
            "month",
        ),
        (
            "UN 1H2/Y200/S/25 01/GB/AB",
            "UN 1H2/Y200/S/25 00/GB/AB",
            "month",
        ),
        ("UN 1A1/Y1.4/50/97/NL/RB", "UN 1A1/Y1.4/00/97/NL/RB", "kind"),
        ("UN 1A1/Y1.4/10/97/NL/RB", "UN 1A1/Y1.4/0/97/NL/RB", "kind"),
        // Composite packagings have two letters, all others one; one digit of a category, and none
        // on a large packaging.
        (
            "UN 6HA1/Y150/S/01/NL/VL1",
            "UN 6H1/Y150/S/01/NL/VL1",
            "packaging code",
        ),
        (
            "UN 4H2/Y150/S/01/NL/VL1",
            "UN 4HA2/Y150/S/01/NL/VL1",
            "packaging code",
        ),
        (
            "UN 1A4/Y150/S/01/NL/VL1",
            "UN 1A5/Y150/S/01/NL/VL1",
            "packaging code",
        ),
        (
            "UN 50A/X/05 01/N/PQRS 0/9",
            "UN 50A1/X/05 01/N/PQRS 0/9",
            "packaging code",
        ),
        // A vehicle sign has one to three letters.
        (
            "UN 4G/Y145/S/02/USA/VL823",
            "UN 4G/Y145/S/02/USAX/VL823",
            "state",
        ),
    ] {
        assert_eq!(
            read(good).0,
            MarkStanding::Valid,
            "{good}: {:?}",
            read(good)
        );
        let (standing, found, _) = read(bad);
        assert_eq!(
            (standing, found.as_str()),
            (MarkStanding::Invalid, what),
            "{bad}"
        );
    }
}

#[test]
fn what_is_wrong_is_named_as_it_stands() {
    for (mark, what, value) in [
        ("UN 50A/X/13 01/N/PQRS 2500/1000", "month and year", "13 01"),
        ("UN 50A/X/05 01/2500/1000", "masses", "2500 1000"),
        ("UN 1H2/Y200/S/25 13/GB/AB", "month", "2513"),
        ("UN 4G UN 4G/Y145/S/02/NL/VL823", "mark", "more than one"),
        ("UN UN/Y145/S/02/NL/VL823", "packaging code", "UN"),
        // An S further back is no kind.
        ("UN 4G/Y/145/02/S/NL/VL823", "kind", "145"),
        ("UN 4G/Y145/S/02/ABCD/VL823", "state", "ABCD"),
        ("UN 4G/Y145/S/02/R", "maker", "none"),
    ] {
        let (standing, found, shown) = read(mark);
        assert_eq!(standing, MarkStanding::Invalid, "{mark}");
        assert_eq!((found.as_str(), shown.as_str()), (what, value), "{mark}");
    }
}

#[test]
fn year_month_and_reconditioning_are_told_apart() {
    // 6.1.3.12 (read in translation): year and letters of whoever reconditioned it stand last. The
    // pivot of the two digits is ours: before the first UN marks.
    let year = |digits: &str| check_mark(&format!("UN 4G/Y145/S/{digits}/NL/VL823")).year;
    assert_eq!(
        (year("79"), year("80"), year("81")),
        (Some(2079), Some(1980), Some(1981))
    );
    assert_eq!((year("00"), year("99")), (Some(2000), Some(1999)));
    let drum = |date: &str| {
        let answer = check_mark(&format!("UN 1H2/Y200/S/{date}/GB/AB"));
        let doubted = answer
            .warnings
            .iter()
            .any(|warning| warning.contains("read as month and year"));
        (answer.month, answer.year, doubted)
    };
    assert_eq!(drum("05 12"), (Some(5), Some(2012), true));
    assert_eq!(drum("12 01"), (Some(12), Some(2001), true));
    assert_eq!(drum("05 13"), (Some(5), Some(2013), false));
    assert_eq!(drum("05 00"), (Some(5), Some(2000), false));
    assert_eq!(drum("25 12"), (Some(12), Some(2025), false));
    let again = |mark: &str| {
        let answer = check_mark(mark);
        let again = answer
            .warnings
            .iter()
            .find(|warning| warning.starts_with("reconditioned"));
        (answer.maker, again.cloned())
    };
    let maker = |maker: &str, year: Option<&str>| {
        (
            Some(maker.to_owned()),
            year.map(|year| format!("reconditioned in {year}")),
        )
    };
    assert_eq!(
        again("UN 1A2/Y150/S/99 USA/RB/00 R"),
        maker("RB", Some("2000"))
    );
    assert_eq!(
        again("UN 1A1/Y1.4/150/97 NL/RB/01 RL"),
        maker("RB", Some("2001"))
    );
    assert_eq!(again("UN 1A2/Y150/S/99 USA/RB/00"), maker("RB 00", None));
    // Only its own mark is left: the first maker's was painted over.
    assert_eq!(
        again("UN 1A2/Y150/S/99/01/R").1.as_deref(),
        Some("reconditioned in 2001")
    );
    assert!(
        valid("UN 4G/Y145/S/02/R/VL823"),
        "R is a vehicle sign too where it stands first"
    );
}
