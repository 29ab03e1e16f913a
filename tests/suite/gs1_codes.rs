//! GS1 codes against published vectors, each with its source in `tests/cases/gs1-codes.tsv`.

use std::process::{Command, Output};

use packdown::ids::{
    CodeKind, CompanyPrefix, PackageCode, check_digit, digital_link, read_scanned,
};

struct Vector {
    what: &'static str,
    input: &'static str,
    expected: &'static str,
    source: &'static str,
}

fn vectors() -> Vec<Vector> {
    include_str!("../cases/gs1-codes.tsv")
        .lines()
        .skip(1)
        .map(|line| {
            let [what, input, expected, source] = line.split('\t').collect::<Vec<_>>()[..] else {
                panic!("four columns: {line}");
            };
            Vector {
                what,
                input,
                expected,
                source,
            }
        })
        .collect()
}

/// `stem https://example.com ; (01)...`, or `GTIN 09521234543213 batch ABC123 serial 12345`.
fn build(input: &str) -> String {
    if let Some((stem, text)) = input.split_once(" ; ") {
        let scanned = read_scanned(text);
        return digital_link(&scanned.parts, stem.strip_prefix("stem ").unwrap()).unwrap();
    }
    let text = input
        .replace("GTIN ", "(01)")
        .replace(" batch ", "(10)")
        .replace(" serial ", "(21)");
    read_scanned(&text).link("https://id.gs1.org").unwrap()
}

#[test]
fn published_vectors_come_out() {
    let mut counted = 0;
    for Vector {
        what,
        input,
        expected,
        source,
    } in vectors()
    {
        let scanned = read_scanned(input);
        let about = format!("{what}: {input} [{source}]: {scanned:?}");
        counted += 1;
        match what {
            "check digit" if expected.len() == 1 => {
                assert_eq!(check_digit(input), expected.parse().ok(), "{about}");
            }
            "check digit" | "element string" => {
                assert_eq!(scanned.is_valid(), expected.starts_with("valid"), "{about}");
            }
            "link build" => assert_eq!(build(input), expected, "{about}"),
            "link parse" if expected.starts_with("invalid") => {
                assert!(!scanned.is_valid(), "{about}");
            }
            "link parse" => {
                let text = expected.split(' ').next().unwrap();
                assert!(scanned.is_valid(), "{about}");
                assert_eq!(scanned.kind, CodeKind::DigitalLink, "{about}");
                assert_eq!(scanned.parts, read_scanned(text).parts, "{about}");
            }
            "urn to link" => {
                assert_eq!(scanned.kind, CodeKind::Urn, "{about}");
                let link = scanned.link("https://id.gs1.org").unwrap();
                assert_eq!(link, expected, "{about}");
            }
            other => panic!("{other}"),
        }
    }
    assert_eq!(counted, 35, "every vector was read");
}

#[test]
fn each_kind_of_code_is_told_apart() {
    // Numbers with the demonstration prefix 952 (from memory), check digits by the rule above.
    for (text, kind, identity) in [
        (
            "095211411234567892",
            CodeKind::Sscc,
            "(00)095211411234567892",
        ),
        (
            "00095211411234567892",
            CodeKind::Sscc,
            "(00)095211411234567892",
        ),
        (
            "]C100095211411234567892",
            CodeKind::Sscc,
            "(00)095211411234567892",
        ),
        (
            "https://id.gs1.org/00/095211411234567892",
            CodeKind::DigitalLink,
            "(00)095211411234567892",
        ),
        ("9521234543213", CodeKind::Gtin, "(01)09521234543213"),
        (
            "]d20109521234543213211234\u{1d}10AB\r\n",
            CodeKind::ElementString,
            "(01)09521234543213(21)1234",
        ),
        (
            "0109521234543213211234",
            CodeKind::ElementString,
            "(01)09521234543213(21)1234",
        ),
        (
            "urn:epc:id:sgtin:952123.0454321.1234",
            CodeKind::Urn,
            "(01)09521234543213(21)1234",
        ),
        (
            "^800302112345678900ABC",
            CodeKind::Grai,
            "(8003)02112345678900ABC",
        ),
        ("(8004)952CRATE7", CodeKind::Giai, "(8004)952CRATE7"),
        (
            "URN:UUID:017F22E2-79B0-7CC3-98C4-DC0C0C07398F",
            CodeKind::Urn,
            "urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f",
        ),
        ("HB-2209-0042", CodeKind::Plain, "HB-2209-0042"),
        ("8004-77 (left)", CodeKind::Plain, "8004-77 (left)"),
        ("0109-4", CodeKind::Plain, "0109-4"),
        ("(left) 8", CodeKind::Plain, "(left) 8"),
    ] {
        let scanned = read_scanned(text);
        assert!(scanned.is_valid(), "{text:?}: {scanned:?}");
        assert_eq!(scanned.kind, kind, "{text:?}");
        assert_eq!(scanned.identity_text(), identity, "{text:?}");
    }
}

#[test]
fn what_is_not_in_order_is_said() {
    for (text, said) in [
        ("095211411234567893", "check digit 2"),
        ("(21)A", "(21) SERIAL"),
        ("(4321)1", "(4321) DANGEROUS GOODS"),
        ("(01)09521234543213(37)5", "(37)"),
        (
            "(00)095211411234567892(00)123456789012345675",
            "stands twice",
        ),
        ("(00)095211411234567892(4326)261332", "YYMMDD"),
        ("(01)09521234543213(21)a\u{e4}b", "character set"),
        ("^09123", "application identifier"),
        ("(00)", "18 characters"),
        ("https://example.com/01/09521234543213/21/A/10/B", "order"),
        ("https://example.com/about/us", "GS1 key"),
        ("https://example.com/01/0952123454321%", "percent"),
        ("https:///01/09521234543213", "domain"),
        ("urn:uuid:017f22e2-79b0-7cc3-98c4", "UUID"),
        ("urn:epc:id:sscc:95211.41123456789", "EPC"),
        ("urn:x", "urn:"),
        ("a\u{7}b", "control sign"),
        (" \r\n", "text"),
    ] {
        let scanned = read_scanned(text);
        assert!(!scanned.is_valid(), "{text:?}");
        assert!(
            format!("{:?}", scanned.faults).contains(said),
            "{text:?}: {:?}",
            scanned.faults
        );
        assert_eq!(scanned.identity_text(), text.trim(), "{text:?}");
    }
    // More than a symbol holds is refused, not chewed on.
    assert!(!read_scanned(&"1".repeat(100_000)).is_valid());
}

#[test]
fn every_single_wrong_digit_is_found() {
    let right = "095211411234567892";
    for at in 0..right.len() {
        for digit in '0'..='9' {
            let mut text: Vec<char> = right.chars().collect();
            text[at] = digit;
            let text: String = text.into_iter().collect();
            assert_eq!(read_scanned(&text).is_valid(), text == right, "{text}");
        }
    }
}

#[test]
fn a_package_has_an_sscc_only_with_a_prefix_of_the_user() {
    let prefix = CompanyPrefix::read("9521141").unwrap();
    let code = PackageCode::Sscc(prefix.sscc(0, 123_456_789).unwrap());
    // The same number as in the made-up EPCIS job of this suite.
    assert_eq!(code, PackageCode::Sscc("095211411234567892".into()));
    assert_eq!(code.gs1_128().unwrap(), "00095211411234567892");
    assert_eq!(code.shown(), "(00)095211411234567892");
    assert_eq!(code.square(), "https://id.gs1.org/00/095211411234567892");
    for symbol in [code.gs1_128().unwrap(), code.shown(), code.square()] {
        let read = read_scanned(&symbol);
        assert_eq!(read.part("00"), Some("095211411234567892"), "{symbol}");
        assert!(read.is_valid());
    }
    let uuid = "017f22e2-79b0-8cc3-98c4-dc0c0c07398f";
    let none = PackageCode::Uuid(format!("urn:uuid:{uuid}"));
    assert_eq!(none.gs1_128(), None);
    assert_eq!(none.square(), format!("urn:uuid:{uuid}"));
    assert!(read_scanned(&none.square()).is_valid());
    // No room behind the prefix; a prefix that is none.
    assert!(prefix.sscc(0, 1_000_000_000).is_err());
    assert!(prefix.sscc(0, 999_999_999).is_ok());
    for wrong in ["", "12345", "1234567890123", "95211-41", "952114١"] {
        assert!(CompanyPrefix::read(wrong).is_err(), "{wrong}");
    }
}

fn packdown(args: &[&str]) -> (Output, serde_json::Value) {
    let output = Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(args)
        .output()
        .unwrap();
    let json = serde_json::from_slice(&output.stdout).unwrap_or_default();
    (output, json)
}

#[test]
fn the_command_answers_as_agreed() {
    let (output, answer) = packdown(&["read-code", "(00)095211411234567892", "--format", "json"]);
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(
        answer,
        serde_json::json!({
            "kind": "sscc",
            "answer": "valid",
            "parts": {"00": "095211411234567892"},
            "reasons": [],
        })
    );
    let (output, answer) = packdown(&["read-code", "-1", "--format", "json"]);
    assert_eq!(
        (output.status.code(), &answer["kind"]),
        (Some(0), &"plain".into())
    );
    let (output, answer) = packdown(&["read-code", "", "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(answer["answer"], "invalid");
    assert!(!answer["reasons"].as_array().unwrap().is_empty());
    let (output, _) = packdown(&["read-code", "--link", "(01)09521234543213(21)1+2"]);
    assert_eq!(
        String::from_utf8(output.stdout).unwrap(),
        "https://id.gs1.org/01/09521234543213/21/1%2B2\n"
    );
    let (output, _) = packdown(&["read-code", "--link", "HB-2209"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        String::from_utf8(output.stdout)
            .unwrap()
            .contains("key of the link")
    );
    let (output, _) = packdown(&[
        "read-code",
        "--link",
        "095211411234567892",
        "--stem",
        "https://codes.example/x/",
    ]);
    assert_eq!(
        String::from_utf8(output.stdout).unwrap(),
        "https://codes.example/x/00/095211411234567892\n"
    );
}
