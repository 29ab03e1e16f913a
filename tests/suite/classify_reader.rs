//! Cures in the words of the reader's region. The pairs of words are common practice without one
//! source; "shipper" and "shipping paper" are those of 49 CFR 172, "consignor" and "transport document"
//! those of ADR 1.2.1 and 5.4.

use std::collections::BTreeSet;

use packdown::transport::{Effect, Reader, Reworded, decide, rule_set};
use serde_json::json;

use crate::transport_cases::all_facts;

fn written(text: &str) -> tempfile::NamedTempFile {
    let file = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(file.path(), text).unwrap();
    file
}

fn ran(args: &[&str]) -> (i32, String) {
    let ran = std::process::Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(args)
        .output()
        .unwrap();
    let out = String::from_utf8(ran.stdout).unwrap();
    // A person's lines are wrapped.
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    (ran.status.code().unwrap(), out)
}

#[test]
fn a_cure_is_said_in_the_words_of_its_reader() {
    for (said, us, uk, eu) in [
        (
            "the consignor sends it by road, rail or sea as damaged",
            "the shipper sends it by highway, rail or vessel as DDR (damaged, defective or recalled)",
            "the consignor sends it by road, rail or sea as damaged",
            "the consignor sends it by road, rail or sea as damaged",
        ),
        (
            "the shipper sends it by cargo aircraft, or by highway, rail or vessel",
            "the shipper sends it by cargo aircraft, or by highway, rail or vessel",
            "the consignor sends it by cargo aircraft, or by road, rail or sea",
            "the consignor sends it by cargo aircraft, or by road, rail or sea",
        ),
        (
            "write it in the transport document",
            "write it in the shipping paper",
            "write it in the dangerous goods note",
            "write it in the transport document",
        ),
        (
            "the dangerous goods safety adviser (United States: the hazmat manager) decides",
            "the hazmat manager decides",
            "the dangerous goods safety adviser (DGSA) decides",
            "the dangerous goods safety adviser decides",
        ),
        (
            "the carrier takes it as a full load",
            "the carrier takes it as a full load",
            "the haulier takes it as a full load",
            "the carrier takes it as a full load",
        ),
    ] {
        assert_eq!(Reader::Us.words(said), us);
        assert_eq!(Reader::Uk.words(said), uk);
        assert_eq!(Reader::Eu.words(said), eu);
    }
    // Parts of words and what the law words itself stay.
    for kept in [
        "worshippers",
        "SHIPPER",
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)",
        "müßig: 30 %",
    ] {
        for reader in Reader::ALL {
            assert_eq!(reader.words(kept), kept);
        }
    }
}

/// Every cure and question that a row or a published case gives.
fn cures() -> BTreeSet<String> {
    let mut cures = BTreeSet::new();
    for rule in rule_set().rules() {
        for effect in rule.effects {
            match effect {
                Effect::Forbid { way_out } => drop(cures.insert((*way_out).to_owned())),
                Effect::NotDetermined { question, who } => {
                    cures.insert(format!("{question}; {who} decides"));
                }
                _ => {}
            }
        }
    }
    for (_, facts) in all_facts() {
        let decision = decide(&facts);
        let reasons = decision.reasons.into_iter().chain(decision.package.reasons);
        cures.extend(reasons.map(|reason| reason.way_out));
    }
    cures
}

#[test]
fn no_cure_keeps_a_word_of_another_region() {
    let cures = cures();
    assert!(cures.len() > 60, "{}", cures.len());
    let foreign = |reader: Reader| match reader {
        Reader::Us => &[
            "consignor",
            "by road",
            "safety adviser",
            "transport document",
        ][..],
        _ => &[
            "shipper",
            "highway",
            "vessel",
            "hazmat",
            "shipping paper",
            "DDR",
        ][..],
    };
    for cure in &cures {
        for reader in Reader::ALL {
            let said = reader.words(cure);
            for word in foreign(reader) {
                assert!(!said.contains(word), "{reader}: {said}");
            }
            assert_eq!(reader.words(&said), said, "said twice");
        }
    }
}

#[test]
fn only_cures_change_and_only_for_a_reader_who_is_named() {
    for (_, facts) in all_facts() {
        let plain = decide(&facts);
        assert_eq!(plain.clone().for_reader(None), plain);
        let mut put = plain.clone().for_reader(Some(Reader::Us));
        let before = plain.reasons.iter().chain(&plain.package.reasons);
        let after = put.reasons.iter_mut().chain(&mut put.package.reasons);
        for (before, after) in before.zip(after) {
            after.way_out.clone_from(&before.way_out);
        }
        assert_eq!(put, plain);
    }
}

#[test]
fn the_commands_take_a_reader() {
    let facts = json!({"regime":"imdg","on":"2026-11-25","item":{"chemistry":"lithium_ion",
        "rated_energy_wh":5120,"net_mass_kg":48,"configuration":"alone","soundness":"damaged",
        "leaking":false,"recalled_for_safety":false,"purpose":"recycling"},
        "voyage":{"short_international":false,"stowage":"under_deck"}});
    let file = written(&facts.to_string());
    for command in ["classify", "explain", "route"] {
        let said = |more: &[&str]| ran(&[&[command, file.path().to_str().unwrap()], more].concat());
        let (_, plain) = said(&[]);
        assert!(plain.contains("the consignor asks"), "{command}: {plain}");
        let (_, us) = said(&["--reader", "us"]);
        assert!(us.contains("the shipper asks"), "{command}: {us}");
    }
    let table = "regime,on,item.chemistry,item.soundness,item.recalled_for_safety,item.configuration,mode\n\
                 cfr49,2026-11-25,lithium_ion,damaged,false,alone,cargo_aircraft\n";
    let csv = written(table);
    let path = csv.path().to_str().unwrap();
    let (_, eu) = ran(&["classify", path, "--csv", "-", "--reader", "eu"]);
    assert!(eu.contains("consignor sends it by road"), "{eu}");
    let (_, plain) = ran(&["classify", path, "--csv", "-"]);
    assert!(plain.contains("shipper sends it by highway"), "{plain}");
    let load = json!({"regime":"air","mode":"passenger_aircraft","on":"2026-11-25",
        "goods":[{"un":"UN 3480","net_mass_kg":5,"damaged":false,"waste":false}]});
    let file = written(&load.to_string());
    let (code, said) = ran(&["load", file.path().to_str().unwrap(), "--reader", "eu"]);
    assert_eq!(code, 1);
    assert!(said.contains("consignor sends them"), "{said}");
    let (code, _) = ran(&["load", file.path().to_str().unwrap(), "--reader", "mars"]);
    assert_eq!(code, 2);
}
