//! Receiving as it is typed: scans are on disk before they are answered, two clerks do not
//! overwrite each other, a cut loses nothing, bad input loses nothing.

use std::fs::{self, File};

use crate::dock::{NOON, handover, open_register, receive, site_json};
use crate::program::Bench;

fn bench() -> Bench {
    let bench = Bench::with_lawful_job();
    open_register(&bench);
    bench
}

const CLEAN: &str = "count load 3\nair 12\n\
    P1\nseal S1\nmass 64.1\ntemp 13\nclean\n\
    P2\nseal S2\nmass 64.0\ntemp 13\nclean\n\
    P3\nseal S3\nmass 64.2\ntemp 13,5\nclean\n";

#[test]
fn a_clean_load_is_received_from_the_terminal() {
    let bench = bench();
    let ran = receive(&bench, &["--bay", "A"], &format!("{CLEAN}done\n"));
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("brought by Dan Driver, received by"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("Ada One"), "{}", ran.out);
    assert!(ran.out.contains("Lines: 7 received"), "{}", ran.out);
    // The fourth found no room.
    assert!(ran.out.contains("Still at the dock:"), "{}", ran.out);
    let stock = bench.run(&["stock", "--register", "reg", "--items", "--at", NOON]);
    assert_eq!(stock.code, 0, "{}{}", stock.out, stock.err);
    assert!(stock.out.contains("2027-03-02"), "{}", stock.out);
    assert_eq!(bench.run(&["register", "verify", "reg"]).code, 0);
    // The statement is kept as it came.
    assert_eq!(fs::read_dir(bench.path("reg/bundles")).unwrap().count(), 1);
}

#[test]
fn a_seal_is_typed_by_number_and_state_in_either_order() {
    for typed in ["seal S1 broken", "seal broken S1", "seal S1 BROKEN"] {
        let bench = bench();
        let ran = receive(&bench, &[], &format!("P1\n{typed}\n"));
        assert!(
            ran.out.contains("seal S1 broken\n") && ran.out.contains("SEAL BROKEN"),
            "{typed}: {}",
            ran.out
        );
    }
}

/// The code on a package label, a GS1 element string with the serial in it, and an address of one:
/// each names what stands on the list. GTIN of the General Specifications' own examples.
#[test]
fn a_label_or_a_gs1_code_names_what_the_list_names() {
    let bench = bench();
    let handover = handover();
    let package = |id: &str| packdown::papers::names::package_name(&handover.job, id, None);
    let serial = &handover.packages[1].modules[0].identity;
    let coded = CLEAN.replace("P1\n", &format!("{}\n", package("P1")));
    let coded = format!(
        "{coded}(01)09506000134352(21){serial}\nhttps://id.gs1.org/01/09506000134352/21/NOT-LISTED\n"
    );
    let ran = receive(&bench, &["--bay", "A"], &format!("{coded}done\n"));
    assert!(ran.out.contains("7 received"), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("1 unexpected"), "{}", ran.out);
    assert!(
        ran.out.contains("(01)09506000134352(21)NOT-LISTED"),
        "{}",
        ran.out
    );
    // What was scanned is kept beside what it names.
    let ledger = bench.read("reg/ledger/device.jsonl");
    assert!(ledger.contains(&package("P1")), "{ledger}");
}

#[test]
fn a_receipt_goes_on_where_it_was_left() {
    let bench = bench();
    let ran = receive(&bench, &[], "P1\nseal S1\nstop\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("R1 stays open"), "{}", ran.out);
    // The end of the input is a stop as well.
    let ran = receive(&bench, &[], "mass P1 64\n");
    assert!(ran.out.contains("2 scans were kept before"), "{}", ran.out);
    let shown = bench.run(&["stock", "--register", "reg", "--at", NOON]);
    assert!(shown.out.contains("R1 from Sender works"), "{}", shown.out);
    assert!(shown.out.contains("3 scans"), "{}", shown.out);
}

/// Killed at any write point: a torn last line is dropped, everything that was answered is kept.
#[test]
fn a_ledger_cut_at_any_byte_keeps_every_answered_scan() {
    let bench = bench();
    // A cut leaves the checkpoint of an earlier end behind: it is signed last.
    let checkpoint = bench.read("reg/ledger/device.checkpoint");
    let first = bench.read("reg/ledger/device.jsonl").len();
    assert_eq!(receive(&bench, &[], CLEAN).code, 0);
    let log = bench.path("reg/ledger/device.jsonl");
    let whole = fs::read(&log).unwrap();
    let ends: Vec<usize> = whole
        .iter()
        .enumerate()
        .filter(|(_, byte)| **byte == b'\n')
        .map(|(at, _)| at + 1)
        .collect();
    for cut in (first..=whole.len())
        .step_by(whole.len() / 17)
        .chain([whole.len()])
    {
        bench.write("reg/ledger/device.checkpoint", &checkpoint);
        fs::write(&log, &whole[..cut]).unwrap();
        // Two entries come before the first scan: the opening and the receipt.
        let lines = ends.iter().filter(|end| **end <= cut).count();
        let ran = receive(&bench, &[], "stop\n");
        assert_eq!(ran.code, 0, "cut at {cut}: {}", ran.err);
        let kept = format!("{} scans were kept before", lines.saturating_sub(2));
        assert!(
            lines <= 2 || ran.out.contains(&kept),
            "cut at {cut}: {kept}: {}",
            ran.out
        );
        assert_eq!(
            bench.run(&["register", "verify", "reg"]).code,
            0,
            "cut at {cut}"
        );
        fs::write(&log, &whole).unwrap();
    }
}

/// A cut between the entries of a closing: closing again gives the same cases, once each.
#[test]
fn a_closing_that_was_cut_is_closed_again_without_double_cases() {
    let bench = bench();
    let typed = CLEAN
        .replace("mass 64.1", "mass 70")
        .replace("temp 13,5", "temp 30");
    assert_eq!(receive(&bench, &[], &typed).code, 0);
    let checkpoint = bench.read("reg/ledger/device.checkpoint");
    assert_eq!(receive(&bench, &[], "done\n").code, 1);
    bench.write("reg/ledger/device.checkpoint", &checkpoint);
    let log = bench.path("reg/ledger/device.jsonl");
    let whole = fs::read_to_string(&log).unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    let first_case = lines
        .iter()
        .position(|line| line.contains("\"type\":\"discrepancy\""))
        .unwrap();
    // One case was written, then the power went.
    fs::write(&log, format!("{}\n", lines[..=first_case].join("\n"))).unwrap();
    let ran = receive(&bench, &[], "done\n");
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    let stock = bench.run(&[
        "stock",
        "--register",
        "reg",
        "--at",
        NOON,
        "--format",
        "json",
    ]);
    let stock: serde_json::Value = serde_json::from_str(&stock.out).unwrap();
    assert_eq!(stock["discrepancies"].as_array().unwrap().len(), 2);
    assert_eq!(stock["misfits"].as_array().unwrap().len(), 0);
}

#[test]
fn two_clerks_at_once_cannot_overwrite_each_other() {
    let bench = bench();
    let lock = File::options()
        .write(true)
        .open(bench.path("reg/ledger/.lock"))
        .unwrap();
    lock.lock().unwrap();
    let ran = receive(&bench, &[], "P1\n");
    assert_eq!(ran.code, 6, "{}", ran.err);
    assert!(
        ran.err.contains("being written by another program"),
        "{}",
        ran.err
    );
    lock.unlock().unwrap();
    // Clerks take turns scan by scan: an open receipt does not lock the others out.
    assert_eq!(receive(&bench, &[], "P1\nstop\n").code, 0);
    let other = bench.run_with_input(
        &[
            "receive",
            "load.json",
            "--register",
            "reg",
            "--by",
            "dov",
            "--delivered-by",
            "Dan Driver",
            "--at",
            NOON,
        ],
        "P2\nstop\n",
    );
    assert!(
        other.out.contains("1 scans were kept before"),
        "{}",
        other.out
    );
}

#[test]
fn a_load_may_be_refused_and_it_is_recorded() {
    let bench = bench();
    let ran = receive(
        &bench,
        &["--refuse", "smell of solvent at the tailboard"],
        "",
    );
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let log = bench.read("reg/ledger/device.jsonl");
    assert!(log.contains("\"type\":\"load_refused\""));
    assert!(log.contains("smell of solvent"));
    let stock = bench.run(&[
        "stock",
        "--register",
        "reg",
        "--at",
        NOON,
        "--format",
        "json",
    ]);
    assert!(stock.out.contains("\"pieces\": 0"), "{}", stock.out);
    // The same load again is told that it was refused.
    let ran = receive(&bench, &[], "");
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("refused before as R1"), "{}", ran.out);
}

#[test]
fn the_same_load_twice_tells_both() {
    let bench = bench();
    assert_eq!(receive(&bench, &[], &format!("{CLEAN}done\n")).code, 0);
    let ran = receive(&bench, &[], "");
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("received before as R1"), "{}", ran.out);
    let stock = bench.run(&["stock", "--register", "reg", "--at", NOON]);
    assert!(stock.out.contains("TWICE: load"), "{}", stock.out);
}

#[test]
fn a_pallet_of_scans_comes_from_a_file() {
    let bench = bench();
    bench.write(
        "scans.csv",
        "code,seal,gross_mass_kg,temperature_c,air_c,damage,count,findings\n\
         load,,,,12,,3,\nP1,S1,64.0,13.0,,none,,\nP2,S2,64.0,13.0,,none,,\n\
         P3,S3,64.0,13.0,,none,2,\n",
    );
    let ran = receive(&bench, &["--scans", "scans.csv", "--keep-open"], "");
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("4 scans kept"), "{}", ran.out);
    let ran = receive(&bench, &[], "done\n");
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    // A bad cell is named with its line, and nothing of the file is taken.
    for (row, told) in [
        ("P1,S1,64;0,,,none,,", "line 2, gross_mass_kg"),
        ("P1,S1,,,,none,two,", "line 2, count"),
        ("P1,S1,,,,none,,F99", "line 2, findings"),
    ] {
        let bench = self::bench();
        bench.write(
            "scans.csv",
            format!("code,seal,gross_mass_kg,temperature_c,air_c,damage,count,findings\n{row}\n"),
        );
        let ran = receive(&bench, &["--scans", "scans.csv"], "");
        assert_eq!(ran.code, 4, "{row}: {}", ran.err);
        assert!(ran.err.contains(told), "{row}: {}", ran.err);
        assert!(
            !bench
                .read("reg/ledger/device.jsonl")
                .contains("\"scanned\"")
        );
    }
    bench.write("scans.csv", "code,sael\nP1,S1\n");
    let mut again = handover();
    again.number = 9;
    bench.write("load.json", serde_json::to_string(&again).unwrap());
    let ran = receive(&bench, &["--scans", "scans.csv"], "");
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("did you mean `seal` instead of `sael`?"),
        "{}",
        ran.err
    );
}

#[test]
fn a_foreign_table_is_guessed_shown_confirmed_and_remembered() {
    let bench = bench();
    let table = "S/N;Box no.;Gewicht kg;kWh;Zustand;Our ref\n\
                 FX-1;B1;48,5;5,12;ok;77\nFX-2;B1;48,0;5,12;?;78\n";
    bench.write("list.csv", table);
    let run = |more: &[&str], input: &str| {
        let mut arguments = vec![
            "receive",
            "list.csv",
            "--register",
            "reg",
            "--by",
            "ada",
            "--delivered-by",
            "Dan",
            "--from",
            "Rural depot",
            "--at",
            NOON,
        ];
        arguments.extend(more);
        bench.run_with_input(&arguments, input)
    };
    let ran = run(&[], "");
    assert_eq!(ran.code, 3, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("Gewicht kg"), "{}", ran.out);
    assert!(ran.out.contains("(passed over)"), "{}", ran.out);
    assert!(
        !bench
            .read("reg/ledger/device.jsonl")
            .contains("columns_confirmed")
    );
    let ran = run(&["--confirm"], "FX-1\nFX-2\ncount 2\ndone\n");
    assert!(
        ran.out.contains("2 modules stated"),
        "{}{}",
        ran.out,
        ran.err
    );
    let stock = bench.run(&[
        "stock",
        "--register",
        "reg",
        "--at",
        NOON,
        "--format",
        "json",
    ]);
    let stock: serde_json::Value = serde_json::from_str(&stock.out).unwrap();
    let items = stock["items"].as_array().unwrap();
    assert_eq!(items[0]["rated_energy_wh"], "5120");
    assert_eq!(items[0]["net_mass_kg"], "48.5");
    assert_eq!(items[0]["soundness"], "sound");
    // A condition that is not plainly good is not taken for good.
    assert_eq!(items[1]["soundness"], "undiagnosed");
    assert_eq!(items[1]["held"], true);
    // The next table with the same heads needs no confirmation.
    bench.write("list.csv", table.replace("FX-", "FY-"));
    let ran = run(&[], "stop\n");
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    // Without a column for the serial it is asked for; said outright, it is taken.
    bench.write("list.csv", "thing,mass\nZ1,4\n");
    assert_eq!(run(&["--confirm"], "").code, 3);
    let ran = run(&["--confirm", "--column", "thing=serial"], "stop\n");
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ran = run(&["--column", "thing=serail"], "");
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("`serail` is no fact"), "{}", ran.err);
}

#[test]
fn an_unannounced_load_is_all_unexpected_and_held() {
    let bench = bench();
    let ran = bench.run_with_input(
        &[
            "receive",
            "--unannounced",
            "Rural depot",
            "--register",
            "reg",
            "--by",
            "ada",
            "--delivered-by",
            "Dan",
            "--at",
            NOON,
        ],
        "QX-1\nenergy 5000\nunreadable burnt label\ndone\n",
    );
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("TEMP-TST-R1-1"), "{}", ran.out);
    let hold = bench.run(&["hold", "list", "--register", "reg", "--at", NOON]);
    assert!(hold.out.contains("QX-1: stays held"), "{}", hold.out);
    assert!(
        hold.out.contains("read at 2026-03-02T13:00:00"),
        "{}",
        hold.out
    );
    assert!(
        hold.out.contains("A clock alone never releases"),
        "{}",
        hold.out
    );
}

#[test]
fn the_hold_is_read_and_left_as_typed() {
    let bench = bench();
    let typed = CLEAN.replace("temp 13\nclean\nP2", "temp 20\nclean\nP2");
    assert_eq!(receive(&bench, &[], &format!("{typed}done\n")).code, 1);
    let clear = |at: &str, with: &str| {
        bench.run(&[
            "hold",
            "clear",
            "MOD-0001",
            "--register",
            "reg",
            "--by",
            "ada",
            "--with",
            with,
            "--reason",
            "cool and quiet",
            "--as",
            "sound",
            "--at",
            at,
        ])
    };
    for (at, volts) in [
        ("2026-03-02T13:00:00+00:00", "52.1"),
        ("2026-03-02T16:00:00+00:00", "52.1"),
        ("2026-03-03T12:05:00+00:00", "52.1"),
    ] {
        assert_eq!(clear(at, "ben").code, 1, "{at}");
        let ran = bench.run(&[
            "hold",
            "reread",
            "MOD-0001",
            "--register",
            "reg",
            "--by",
            "ada",
            "--at",
            at,
            "--surface-c",
            "12.5",
            "--air-c",
            "12.0",
            "--gas",
            "no",
            "--smell",
            "no",
            "--smoke",
            "no",
            "--voltage-v",
            volts,
        ]);
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    }
    assert_eq!(clear("2026-03-03T12:06:00+00:00", "ada").code, 1);
    let ran = clear("2026-03-03T12:06:00+00:00", "ben");
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("signed by ada and ben"), "{}", ran.out);
    // A reading that says nothing is none.
    let ran = bench.run(&[
        "hold",
        "reread",
        "MOD-0001",
        "--register",
        "reg",
        "--by",
        "ada",
    ]);
    assert_eq!(ran.code, 1);
    // Anything may be put there again, at once, by anybody of the site.
    let ran = bench.run(&[
        "hold",
        "put",
        "MOD-0002",
        "--register",
        "reg",
        "--by",
        "cleo",
        "--reason",
        "warm to the hand",
        "--at",
        "2026-03-03T13:00:00+00:00",
    ]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("is held, in bay H"), "{}", ran.out);
}

#[test]
fn the_fire_page_says_what_burns_where() {
    let bench = bench();
    let typed = CLEAN.replace("temp 13\nclean\nP2", "temp 20\nclean\nP2");
    receive(&bench, &["--bay", "A"], &format!("{typed}done\n"));
    let ran = bench.run(&[
        "stock",
        "--register",
        "reg",
        "--fire-page",
        "fire.html",
        "--at",
        NOON,
    ]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("IN ALL: 20 kWh, 4 modules, 192 kg"),
        "{}",
        ran.out
    );
    // Danger first.
    let held = ran.out.find("!! H (hold)").unwrap();
    let sound = ran.out.find("A (normal)").unwrap();
    assert!(held < sound, "{}", ran.out);
    let html = bench.read("fire.html");
    assert!(html.contains("20 kWh") && html.contains("class=\"place danger\""));
    assert!(html.contains("INVENTED SITE"));
}

#[test]
fn a_register_is_not_opened_without_a_usable_site() {
    let bench = bench();
    let ran = bench.run(&["stock", "--register", "nowhere"]);
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("packdown schema site"), "{}", ran.err);
    assert!(!bench.path("nowhere").exists());
    bench.write(
        "reg/site.json",
        site_json("us")
            .replace("\"kind\": \"hold\"", "\"kind\": \"normal\"")
            .replace("\"kind\": \"outdoor\"", "\"kind\": \"normal\""),
    );
    let ran = bench.run(&["stock", "--register", "reg"]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("no bay of kind hold or outdoor"),
        "{}",
        ran.err
    );
    bench.write(
        "reg/site.json",
        site_json("us").replace("\"region\"", "\"regoin\""),
    );
    let ran = bench.run(&["stock", "--register", "reg"]);
    assert!(
        ran.err
            .contains("did you mean `region` instead of `regoin`?"),
        "{}",
        ran.err
    );
    // A changed site is recorded with the next entry.
    bench.write("reg/site.json", site_json("us").replace("Lane 1", "Lane 2"));
    let ran = bench.run(&["register", "open", "reg"]);
    assert!(ran.out.contains("2 entries"), "{}", ran.out);
    let ran = bench.run(&["register", "open", "reg"]);
    assert!(ran.out.contains("2 entries"), "{}", ran.out);
    assert_eq!(bench.run(&["schema", "site"]).code, 0);
    assert_eq!(bench.run(&["schema", "handover"]).code, 0);
}

#[test]
fn an_edited_register_is_named_and_nothing_is_built_on_it() {
    let bench = bench();
    receive(&bench, &[], &format!("{CLEAN}done\n"));
    bench.change("reg/ledger/device.jsonl", "Dan Driver", "Dan Diver");
    assert_eq!(bench.run(&["register", "verify", "reg"]).code, 5);
    assert_eq!(bench.run(&["stock", "--register", "reg"]).code, 5);
    let ran = bench.run(&[
        "stock",
        "move",
        "MOD-0001",
        "--to",
        "A",
        "--register",
        "reg",
        "--by",
        "ada",
    ]);
    assert_eq!(ran.code, 5, "{}", ran.err);
}

#[test]
fn the_first_line_of_an_answer_is_a_word_and_a_count() {
    let bench = bench();
    let ran = receive(
        &bench,
        &[],
        "P1\nseal S1\nmass 99\nseal broken\nundo\nstop\n",
    );
    for line in [
        "> NOTED 2 of 7\n",
        "> MASS OFF 2 of 7\n",
        "> SEAL BROKEN 1 of 7\n",
        "> TAKEN BACK 2 of 7\n",
    ] {
        assert!(ran.out.contains(line), "{line}{}", ran.out);
    }
    // A package that was scanned is here; its module is once the seal was read.
    assert!(ran.out.contains("> RECEIVED 1 of 7\n"), "{}", ran.out);
    // Large letters are for a terminal; a screen reader hears words.
    let large = receive(&bench, &["--large"], "P2\nstop\n");
    assert!(large.out.contains("#####"), "{}", large.out);
    let plain = receive(&bench, &["--large", "--format", "plain"], "P3\nstop\n");
    assert!(
        !plain.out.contains('#') && plain.out.contains("RECEIVED"),
        "{}",
        plain.out
    );
    assert!(!large.out.contains('\u{7}') && !large.err.contains('\u{7}'));
}

#[test]
fn a_photograph_is_kept_with_its_hash_and_its_change_is_found() {
    let bench = bench();
    bench.write("corner of P1.jpg", b"not really a picture");
    let photo = bench.path("corner of P1.jpg");
    let typed = format!(
        "P1\ndamage corner crushed\nphoto {}\nphoto missing.jpg\nstop\n",
        photo.display()
    );
    let ran = receive(&bench, &[], &typed);
    assert!(ran.out.contains("photograph"), "{}", ran.out);
    let kept: Vec<_> = fs::read_dir(bench.path("reg/photos"))
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(kept.len(), 1);
    assert!(kept[0].ends_with("-corner-of-P1.jpg"), "{kept:?}");
    let ledger = bench.read("reg/ledger/device.jsonl");
    let last: serde_json::Value = serde_json::from_str(ledger.lines().last().unwrap()).unwrap();
    let hash = packdown::ledger::to_hex(&packdown::ledger::sha256(b"not really a picture"));
    assert_eq!(last["photos"][0]["sha256"], hash.as_str());
    assert_eq!(last["photos"][0]["file"], kept[0].as_str());
    assert_eq!(
        last["body"]["number"], 3,
        "the line without its file was not taken"
    );
    assert_eq!(bench.run(&["register", "verify", "reg"]).code, 0);
    bench.write(&format!("reg/photos/{}", kept[0]), b"another picture");
    let verified = bench.run(&["register", "verify", "reg"]);
    assert_eq!(verified.code, 5);
    assert!(
        verified.out.contains("is not the one that was"),
        "{}",
        verified.out
    );
    // From a file of scans as well.
    bench.write(
        "scans.csv",
        format!("code,photos\nP2,{}\n", photo.display()),
    );
    let scans = bench.path("scans.csv").display().to_string();
    let ran = receive(&bench, &["--scans", &scans, "--keep-open"], "");
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ledger = bench.read("reg/ledger/device.jsonl");
    assert!(ledger.lines().last().unwrap().contains(&hash));
}

#[test]
fn a_held_module_gets_a_tag_that_says_who_may_clear_it() {
    let bench = bench();
    let tag = [
        "hold",
        "tag",
        "--register",
        "reg",
        "--out",
        "tags",
        "--at",
        NOON,
    ];
    assert_eq!(bench.run(&tag).code, 1, "nothing is held yet");
    receive(
        &bench,
        &[],
        "MOD-0001\nfinding F10\nMOD-0002\nclean\ndone\n",
    );
    let ran = bench.run(&tag);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("HOLD MOD-0001"), "{}", ran.out);
    let html = bench.read("tags/hold-tags.html");
    // Ben is the officer; Cleo's competence ran out in January.
    for words in [
        "MOD-0001",
        "F10 ",
        "Ben Two (officer)",
        "Ada One",
        "A clock alone never",
    ] {
        assert!(html.contains(words), "{words}: {html}");
    }
    assert!(
        !html.contains("Cleo") && !html.contains("MOD-0002"),
        "{html}"
    );
    // The first reading is due an hour after it came, as `hold list` says.
    let list = bench.run(&["hold", "list", "--register", "reg", "--at", NOON]);
    assert!(
        html.contains("T13:00:00") && list.out.contains("T13:00:00"),
        "{html}"
    );
    let pdf = fs::read(bench.path("tags/hold-tags.pdf")).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    let named = [&tag[..], &["MOD-0002"]].concat();
    assert_eq!(bench.run(&named).code, 1);
    // In German, on the stock at hand; names and times stay.
    let mut sizes = std::collections::BTreeSet::new();
    for stock in ["a4", "a5", "a6", "letter", "4x6"] {
        let german = [&tag[..], &["--language", "de", "--stock", stock]].concat();
        assert_eq!(bench.run(&german).code, 0, "{stock}");
        sizes.insert(fs::read(bench.path("tags/hold-tags.pdf")).unwrap());
    }
    assert_eq!(sizes.len(), 5);
    let html = bench.read("tags/hold-tags.html");
    for words in [
        "lang=\"de\"",
        "size: 4in 6in",
        "GESPERRT",
        "F10 aufgeblähte Zelle",
        "Ben Two (beauftragt)",
        "Eine Frist allein",
    ] {
        assert!(html.contains(words), "{words}: {html}");
    }
    for words in ["HOLD", "officer", "swollen", "read next"] {
        assert!(!html.contains(words), "{words}: {html}");
    }
}
