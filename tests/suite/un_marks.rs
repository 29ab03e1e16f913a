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
