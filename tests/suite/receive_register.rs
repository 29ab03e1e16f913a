//! A site's register: bays and their limits, the hold, the clocks of law, identities, the way
//! out; and the record requirements of waste law, one test each with its clause.

use packdown::battery::Soundness;
use packdown::citation::Reason;
use packdown::clock::Moment;
use packdown::custody::{
    Amount, Answer, ClearanceAsked, Dispatched, IdentityMerged, Register, RegisterEvent, Reread,
    Scan, Settled, Stock, Subject, clear, consolidate, discrepancy_clock, dispatch,
    last_day_of_stay, merge, move_to, running_cases, settle, stay, verdict,
};
use packdown::ledger::{Draft, Log};

use crate::dock::{Book, NOON, at, clean_scans, handover, site, tolerances};

fn whats(reasons: &[Reason]) -> Vec<&str> {
    reasons.iter().map(|reason| reason.what.as_str()).collect()
}

fn names(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

// ---- the clocks of law ------------------------------------------------------------------------

/// 40 CFR 264.72(b), (c), text of 1 July 2008: for batch waste any difference in piece count; not
/// settled within 15 days after receiving the waste, a letter.
#[test]
fn us_a_difference_in_count_of_waste_runs_fifteen_days() {
    let clock = discrepancy_clock(
        &site("us"),
        &tolerances(),
        "recycling",
        true,
        "2026-03-02".parse().unwrap(),
    );
    assert_eq!(clock.due.to_string(), "2026-03-17");
    assert!(clock.clause.contains("264.72"), "{}", clock.clause);
    // What is no waste, or not of count, or elsewhere, runs by the site's own period.
    for (region, purpose, of_count) in [
        ("us", "reuse", true),
        ("us", "recycling", false),
        ("eu", "recycling", true),
        ("other", "recycling", true),
    ] {
        let clock = discrepancy_clock(
            &site(region),
            &tolerances(),
            purpose,
            of_count,
            "2026-03-02".parse().unwrap(),
        );
        assert_eq!(clock.due.to_string(), "2026-03-04", "{region} {purpose}");
        assert!(clock.clause.contains("not law"), "{}", clock.clause);
    }
    // A purpose that nobody knows counts as waste.
    let clock = discrepancy_clock(
        &site("us"),
        &tolerances(),
        "whatever",
        true,
        "2026-03-02".parse().unwrap(),
    );
    assert_eq!(clock.due.to_string(), "2026-03-17");
    // A site may be stricter with itself than the law, never looser.
    let mut strict = site("us");
    for (own, due) in [(3, "2026-03-05"), (40, "2026-03-17")] {
        strict.limits.discrepancy_days = Some(own);
        let clock = discrepancy_clock(
            &strict,
            &tolerances(),
            "recycling",
            true,
            "2026-03-02".parse().unwrap(),
        );
        assert_eq!(clock.due.to_string(), due);
    }
}

/// The clock is seen running, and stops when the case is settled.
#[test]
fn the_clock_is_shown_running_until_it_is_settled() {
    let mut book = Book::new("us");
    let mut scans = clean_scans();
    scans.remove(1);
    scans[0].count = Some(2);
    book.receive(&handover(), scans, Some("A"));
    let running = running_cases(&book.register, "2026-03-10".parse().unwrap());
    assert_eq!(running.len(), 3);
    assert!(running.iter().all(|case| case.days_left == 7));
    let over = running_cases(&book.register, "2026-03-20".parse().unwrap());
    assert!(over.iter().all(|case| case.days_left == -3));
    let settled = |id: &str, reason: &str| Settled {
        id: id.into(),
        by: "ada".into(),
        reason: reason.into(),
    };
    let no = settle(
        &book.register,
        &book.site,
        settled("R1/missing/MOD-0001", ""),
        book.now,
    );
    assert!(no.is_err());
    for case in running {
        let events = settle(
            &book.register,
            &book.site,
            settled(&case.id, "Sam Sender finds it on his own dock"),
            book.now,
        )
        .unwrap();
        book.apply(events);
    }
    assert!(running_cases(&book.register, "2026-03-20".parse().unwrap()).is_empty());
}

/// 40 CFR 273.35(a), copy of 2 January 2025 (273.15(a) alike): no longer than one year from the
/// date received.
#[test]
fn us_universal_waste_stays_one_year_at_most() {
    let us = site("us");
    for (received, due) in [
        ("2026-03-02", "2027-03-02"),
        ("2028-02-29", "2029-02-28"),
        ("2026-12-31", "2027-12-31"),
    ] {
        let clock = last_day_of_stay(&us, "recycling", received.parse().unwrap()).unwrap();
        assert_eq!(clock.due.to_string(), due);
        assert!(clock.clause.contains("273.35"), "{}", clock.clause);
    }
    assert_eq!(
        last_day_of_stay(&us, "warranty_return", "2026-03-02".parse().unwrap()),
        None
    );
    assert_eq!(
        last_day_of_stay(&site("eu"), "recycling", "2026-03-02".parse().unwrap()),
        None
    );
    // The site's own, shorter period wins; a longer one does not.
    let mut own = site("us");
    for (days, due) in [(100, "2026-06-10"), (400, "2027-03-02")] {
        own.limits.longest_stay_days = Some(days);
        let clock = last_day_of_stay(&own, "recycling", "2026-03-02".parse().unwrap()).unwrap();
        assert_eq!(clock.due.to_string(), due);
    }
}

/// 40 CFR 273.35(c)(3), copy of 2 January 2025: an inventory that identifies the date on which the
/// waste was received; 273.39(a) (read): for each shipment received, the name and address of who
/// sent it, the quantity of each type, and the date.
#[test]
fn us_the_inventory_shows_since_when_from_whom_and_how_much() {
    let mut book = Book::new("us");
    book.receive(&handover(), clean_scans(), None);
    for item in book.register.on_site() {
        assert_eq!(item.received_at, at(NOON));
        assert_eq!(item.from, "Sender works");
        assert_eq!(
            stay(&book.site, item).unwrap().due.to_string(),
            "2027-03-02"
        );
    }
    let receipt = &book.register.receipts["R1"];
    assert_eq!(receipt.opened.handover.from.address, "Road 2");
    let amount = Amount::of(book.register.on_site());
    assert_eq!(
        (amount.pieces, amount.mass_kg.decimal()),
        (4, "192".parse().unwrap())
    );
}

/// 40 CFR 273.39(b) (read): for each shipment that leaves, the name and address of who gets it,
/// the quantity and the date.
#[test]
fn us_the_way_out_keeps_to_whom_how_much_and_when() {
    let mut book = Book::new("us");
    book.receive(&handover(), clean_scans(), Some("B"));
    let going = Dispatched {
        identities: Vec::new(),
        to: "Smelter".into(),
        address: "Road 3".into(),
        released_by: "ada".into(),
        taken_by: "Eve Driver".into(),
        purpose: "recycling".into(),
    };
    let events = dispatch(
        &book.register,
        &book.site,
        &names(&["MOD-0001", "MOD-0002"]),
        &going,
        book.now,
    )
    .unwrap();
    book.apply(events);
    assert_eq!(book.register.on_site().len(), 2);
    let gone = book
        .register
        .item("MOD-0001")
        .unwrap()
        .gone
        .as_ref()
        .unwrap();
    assert_eq!(
        (
            gone.dispatched.to.as_str(),
            gone.dispatched.address.as_str(),
            gone.at
        ),
        ("Smelter", "Road 3", at(NOON))
    );
    // What has left is not moved, sent or held any more.
    let no = dispatch(
        &book.register,
        &book.site,
        &names(&["MOD-0001"]),
        &going,
        book.now,
    )
    .unwrap_err();
    assert!(no[0].value.contains("left on"), "{:?}", no[0]);
}

/// 40 CFR 273.9 (from memory): 5,000 kg of universal waste at any time makes a large handler.
#[test]
fn us_five_tonnes_are_told_and_an_unknown_mass_is_not_taken_for_none() {
    let mut book = Book::new("us");
    let mut heavy = handover();
    for package in &mut heavy.packages {
        package.modules[0].net_mass_kg = Some("1650".parse().unwrap());
    }
    book.receive(&heavy, clean_scans(), None);
    // 3 x 1650 + 48 = 4998 kg.
    assert!(
        Stock::of(&book.site, &book.register)
            .broken(&book.site)
            .is_empty()
    );
    let mut more = handover();
    more.number = 2;
    more.packages.truncate(1);
    more.packages[0].modules[0].identity = "MOD-0005".into();
    more.packages[0].modules[0].net_mass_kg = Some("2".parse().unwrap());
    let mut scans = clean_scans();
    scans.truncate(2);
    scans[0].count = Some(1);
    book.receive(&more, scans, None);
    let broken = Stock::of(&book.site, &book.register).broken(&book.site);
    assert_eq!(whats(&broken), vec!["universal waste on site"]);
    book.site.limits.large_handler_notified = Some(true);
    assert!(
        Stock::of(&book.site, &book.register)
            .broken(&book.site)
            .is_empty()
    );
    let mut unknown = Book::new("us");
    let mut light = handover();
    light.packages[0].modules[0].net_mass_kg = None;
    unknown.receive(&light, clean_scans(), None);
    let broken = Stock::of(&unknown.site, &unknown.register).broken(&unknown.site);
    assert!(broken[0].value.contains("1 not known"), "{:?}", broken[0]);
}

// ---- bays -------------------------------------------------------------------------------------

#[test]
fn a_bay_takes_what_its_limits_allow_and_the_rest_stays_at_the_dock() {
    let mut book = Book::new("other");
    // Bay A takes three pieces, 150 kg, 15 kWh: exactly three modules of 5 kWh and 48 kg.
    let closing = book.receive(&handover(), clean_scans(), Some("A"));
    assert_eq!(closing.at_the_dock.len(), 1);
    let (identity, reasons) = &closing.at_the_dock[0];
    assert_eq!(identity, "MOD-0004");
    assert_eq!(
        whats(reasons),
        vec!["pieces in bay A", "mass in bay A", "energy in bay A"]
    );
    assert_eq!(reasons[2].value, "20 kWh");
    assert_eq!(reasons[2].limit, "15 kWh");
    let stock = Stock::of(&book.site, &book.register);
    assert_eq!(stock.bays[0].items.len(), 3);
    assert_eq!(stock.dock.len(), 1);
    let no = move_to(
        &book.register,
        &book.site,
        &names(&["MOD-0004"]),
        "A",
        "ada",
        book.now,
    )
    .unwrap_err();
    assert_eq!(no.len(), 3);
    // Moving one out first makes room; a move within the bay counts nothing twice.
    let events = move_to(
        &book.register,
        &book.site,
        &names(&["MOD-0001"]),
        "B",
        "ada",
        book.now,
    )
    .unwrap();
    book.apply(events);
    for what in ["MOD-0004", "MOD-0002"] {
        let events = move_to(
            &book.register,
            &book.site,
            &names(&[what]),
            "A",
            "ada",
            book.now,
        )
        .unwrap();
        book.apply(events);
    }
    assert!(Stock::of(&book.site, &book.register).dock.is_empty());
}

#[test]
fn a_limit_that_cannot_be_judged_is_not_kept() {
    let mut book = Book::new("other");
    let mut bare = handover();
    bare.packages[0].modules[0].rated_energy_wh = None;
    let closing = book.receive(&bare, clean_scans(), Some("A"));
    let (identity, reasons) = &closing.at_the_dock[0];
    assert_eq!(identity, "MOD-0001");
    assert_eq!(reasons[0].what, "energy in bay A");
    assert!(
        reasons[0].value.starts_with("not known"),
        "{:?}",
        reasons[0]
    );
    // Volume: what nobody measured does not go into a bay with a limit on it.
    let mut book = Book::new("other");
    let mut scans = clean_scans();
    scans[1].volume_m3 = None;
    let closing = book.receive(&handover(), scans, Some("B"));
    assert_eq!(closing.at_the_dock[0].0, "MOD-0001");
    // Two modules in one box of 0.2 m3 are 0.1 m3 each.
    let share = closing
        .arrived
        .iter()
        .find(|one| one.identity == "MOD-0004")
        .unwrap();
    assert_eq!(share.volume_m3, Some("0.1".parse().unwrap()));
}

#[test]
fn sound_and_held_goods_do_not_mix() {
    let mut book = Book::new("other");
    let mut bad = handover();
    bad.packages[0].modules[0].soundness = "damaged".into();
    bad.packages[1].modules[0].hold = Some("watched on receipt".into());
    book.receive(&bad, clean_scans(), Some("A"));
    let bay = |identity: &str| book.register.item(identity).unwrap().bay.clone();
    assert_eq!(bay("MOD-0001").as_deref(), Some("Y"));
    assert_eq!(bay("MOD-0002").as_deref(), Some("H"));
    assert_eq!(bay("MOD-0003").as_deref(), Some("A"));
    for (what, to) in [("MOD-0001", "A"), ("MOD-0002", "B"), ("MOD-0003", "H")] {
        let no = move_to(
            &book.register,
            &book.site,
            &names(&[what]),
            to,
            "ada",
            book.now,
        );
        assert!(no.is_err(), "{what} to {to}");
    }
}

// ---- the hold ---------------------------------------------------------------------------------

fn held_book() -> Book {
    held_book_of(None)
}

fn held_book_of(stated: Option<packdown::physics::CellKind>) -> Book {
    let mut book = Book::new("other");
    let mut suspect = handover();
    suspect.packages[0].modules[0].soundness = "suspect".into();
    suspect.packages[0].modules[0].cell_kind = stated;
    book.receive(&suspect, clean_scans(), Some("A"));
    book
}

fn asked(by: &str, with: &str) -> ClearanceAsked {
    ClearanceAsked {
        identity: "MOD-0001".into(),
        by: by.into(),
        with: with.into(),
        reason: "cool, dry, quiet for a day".into(),
        soundness: Some(Soundness::Sound),
    }
}

fn read(book: &mut Book, hours: i64, volts: &str, surface: &str) {
    let reading = Reread {
        identity: "MOD-0001".into(),
        by: "ada".into(),
        instrument: None,
        surface_temperature_c: Some(surface.parse().unwrap()),
        ambient_temperature_c: Some("14.0".parse().unwrap()),
        twin_temperature_c: None,
        lowest_cell_v: None,
        cell_kind: None,
        terminal_voltage_v: Some(volts.parse().unwrap()),
        gas: Some(false),
        smell: Some(false),
        smoke: Some(false),
        findings: Vec::new(),
    };
    book.now = at(NOON).later(hours * 3600);
    book.apply(vec![reading.into()]);
}

/// Rules V1 and V2 (1 and 3 % a day) and the slope of the curve there; all chosen for the field. The
/// flattest nickel manganese cobalt curve rises some 10 mV for each per cent at 3.8 V; on the plateau
/// of iron phosphate nothing can be said.
#[test]
fn the_lowest_cell_of_a_held_module_says_what_is_lost() {
    use packdown::inspection::HoldOutcome;
    use packdown::physics::CellKind;
    for (kind, first, last, raised, by_sender) in [
        (CellKind::Nmc, "3.810", "3.809", vec![]),
        (CellKind::Nmc, "3.810", "3.790", vec!["F23"]),
        (CellKind::Nmc, "3.810", "3.760", vec!["F24"]),
        (CellKind::Lfp, "3.290", "3.280", vec![]),
    ]
    .into_iter()
    .flat_map(|one| [(one.clone(), false), (one, true)])
    .map(|((kind, first, last, raised), by_sender)| (kind, first, last, raised, by_sender))
    {
        // The reader says what the electrodes are, or the sender stated it.
        let mut book = held_book_of(by_sender.then_some(kind));
        for (hours, volts) in [(1, "3.900"), (4, first), (28, last)] {
            let reading = Reread {
                identity: "MOD-0001".into(),
                by: "ada".into(),
                instrument: None,
                surface_temperature_c: Some("14.2".parse().unwrap()),
                ambient_temperature_c: Some("14.0".parse().unwrap()),
                twin_temperature_c: None,
                terminal_voltage_v: Some("52.10".parse().unwrap()),
                lowest_cell_v: Some(volts.parse().unwrap()),
                cell_kind: (!by_sender).then_some(kind),
                gas: Some(false),
                smell: Some(false),
                smoke: Some(false),
                findings: Vec::new(),
            };
            book.now = at(NOON).later(hours * 3600);
            book.apply(vec![reading.into()]);
        }
        let item = book.register.item("MOD-0001").unwrap();
        let found = verdict(item, &tolerances(), book.now).unwrap();
        assert_eq!(found.raised, raised, "{kind:?} {first} {last}");
        assert_eq!(
            found.outcome == HoldOutcome::MayBeOffered,
            raised.is_empty(),
            "{found:?}"
        );
    }
}

#[test]
fn a_clock_alone_never_releases() {
    let book = held_book();
    // A year later, without a reading: no.
    let later = at(NOON).later(365 * 86_400);
    let no = clear(
        &book.register,
        &book.site,
        &tolerances(),
        &asked("ada", "ben"),
        later,
    )
    .unwrap_err();
    assert!(
        whats(&no).iter().any(|what| what.starts_with("reading at")),
        "{no:?}"
    );
    // All readings, but not the time: no.
    let mut book = held_book();
    for hours in [1, 4] {
        read(&mut book, hours, "52.10", "14.2");
    }
    let no = clear(
        &book.register,
        &book.site,
        &tolerances(),
        &asked("ada", "ben"),
        book.now,
    );
    assert!(no.is_err());
}

#[test]
fn out_of_the_hold_with_two_people_a_reason_and_the_readings() {
    let mut book = held_book();
    for hours in [1, 4, 24] {
        read(&mut book, hours, "52.10", "14.2");
    }
    let judge = |by: &str, with: &str, reason: &str| {
        let mut asked = asked(by, with);
        asked.reason = reason.into();
        clear(&book.register, &book.site, &tolerances(), &asked, book.now)
    };
    // One person twice; two without an officer; somebody unknown; somebody expired; no reason.
    assert!(whats(&judge("ben", "ben", "quiet").unwrap_err()).contains(&"people who sign"));
    assert!(whats(&judge("ada", "dov", "quiet").unwrap_err()).contains(&"people who sign"));
    assert!(judge("ada", "nobody", "quiet").is_err());
    let no = judge("cleo", "ben", "quiet").unwrap_err();
    assert!(no[0].value.contains("until 2026-01-31"), "{no:?}");
    assert!(whats(&judge("ada", "ben", " ").unwrap_err()).contains(&"reason"));
    let cleared = judge("ada", "ben", "quiet for a day").unwrap();
    assert_eq!(cleared.readings, 3);
    book.apply(vec![cleared.into()]);
    let item = book.register.item("MOD-0001").unwrap();
    assert!(item.hold.is_none());
    assert_eq!(item.soundness, Soundness::Sound);
    let events = move_to(
        &book.register,
        &book.site,
        &names(&["MOD-0001"]),
        "B",
        "ada",
        book.now,
    )
    .unwrap();
    book.apply(events);
}

#[test]
fn heat_in_the_hold_starts_the_watch_again() {
    let mut book = held_book();
    for hours in [1, 4] {
        read(&mut book, hours, "52.10", "14.2");
    }
    read(&mut book, 24, "52.10", "25.0");
    let item = book.register.item("MOD-0001").unwrap();
    let verdict = verdict(item, &tolerances(), book.now).unwrap();
    assert!(verdict.watch_from >= at(NOON).later(24 * 3600));
    assert!(
        clear(
            &book.register,
            &book.site,
            &tolerances(),
            &asked("ada", "ben"),
            book.now
        )
        .is_err()
    );
}

#[test]
fn what_is_held_does_not_leave_or_share_a_container() {
    let book = held_book();
    let going = Dispatched {
        identities: Vec::new(),
        to: "Smelter".into(),
        address: "Road 3".into(),
        released_by: "ada".into(),
        taken_by: "Eve Driver".into(),
        purpose: "recycling".into(),
    };
    assert!(
        dispatch(
            &book.register,
            &book.site,
            &names(&["MOD-0001"]),
            &going,
            book.now
        )
        .is_err()
    );
    let no = consolidate(
        &book.register,
        &book.site,
        &names(&["MOD-0001", "MOD-0002"]),
        "U1",
        None,
        "ada",
        book.now,
    )
    .unwrap_err();
    assert!(whats(&no).contains(&"condition in unit U1"), "{no:?}");
    assert!(whats(&no).contains(&"MOD-0001"), "{no:?}");
}

// ---- identities and units ---------------------------------------------------------------------

#[test]
fn an_unreadable_serial_gets_an_identity_that_is_merged_later() {
    let mut book = Book::new("other");
    let mut scans = clean_scans();
    for _ in 0..2 {
        let mut scan = Scan::of(Subject::Module(String::new()));
        scan.temporary = true;
        scan.rated_energy_wh = Some("5000".parse().unwrap());
        scans.push(scan);
    }
    let closing = book.receive(&handover(), scans, None);
    let given: Vec<&str> = closing
        .arrived
        .iter()
        .filter(|one| one.temporary)
        .map(|one| one.identity.as_str())
        .collect();
    assert_eq!(given, vec!["TEMP-TST-R1-1", "TEMP-TST-R1-2"]);
    let merged = |temporary: &str, serial: &str| IdentityMerged {
        temporary: temporary.into(),
        serial: serial.into(),
        by: "ada".into(),
        reason: "label found inside the lid".into(),
    };
    // Not to a serial that stands here, not a serial that was read, not twice.
    for (temporary, serial) in [
        ("TEMP-TST-R1-1", "MOD-0001"),
        ("MOD-0001", "MOD-0777"),
        ("TEMP-TST-R9-1", "MOD-0777"),
    ] {
        assert!(
            merge(
                &book.register,
                &book.site,
                merged(temporary, serial),
                book.now
            )
            .is_err(),
            "{temporary} {serial}"
        );
    }
    let events = merge(
        &book.register,
        &book.site,
        merged("TEMP-TST-R1-1", "MOD-0777"),
        book.now,
    )
    .unwrap();
    book.apply(events);
    // Found by both names; its hold goes with it.
    for name in ["MOD-0777", "mod-0777", "TEMP-TST-R1-1"] {
        let item = book.register.item(name).unwrap();
        assert_eq!(item.arrived.identity, "MOD-0777");
        assert!(item.hold.is_some());
    }
}

#[test]
fn a_serial_that_stands_here_already_is_told_at_the_scan_and_kept_apart() {
    let mut book = Book::new("other");
    book.receive(&handover(), clean_scans(), Some("A"));
    let mut second = handover();
    second.number = 2;
    let name = book.open(&second);
    let (event, _, heard) = packdown::custody::scan(
        &book.register,
        &book.site,
        &tolerances(),
        &name,
        Scan::of(Subject::Module("MOD-0001".into())),
    )
    .unwrap();
    assert!(heard.alarm);
    assert!(
        heard
            .at_once
            .iter()
            .any(|said| said.starts_with("TWICE: in bay A")),
        "{:?}",
        heard.at_once
    );
    book.apply(vec![event]);
    let closing = packdown::custody::close(
        &book.register,
        &book.site,
        &tolerances(),
        &name,
        "ada",
        None,
        book.now,
    )
    .unwrap();
    for event in &closing.events {
        // The fold says that it cannot be, and keeps both.
        let _ = book.register.apply(event, book.now, "ada");
    }
    assert!(book.register.item("MOD-0001").is_some());
    assert!(book.register.item("MOD-0001#R2").is_some());
}

#[test]
fn two_open_receipts_with_one_serial_are_both_told() {
    let mut book = Book::new("other");
    let first = book.open(&handover());
    let mut second = handover();
    second.number = 2;
    let second = book.open(&second);
    for (name, alarm) in [(&first, false), (&second, true)] {
        let (event, _, heard) = packdown::custody::scan(
            &book.register,
            &book.site,
            &tolerances(),
            name,
            Scan::of(Subject::Module("MOD-0001".into())),
        )
        .unwrap();
        assert_eq!(heard.alarm, alarm, "{:?}", heard.at_once);
        book.apply(vec![event]);
    }
    let standing = packdown::custody::standing(&book.register, &tolerances(), &first).unwrap();
    assert!(
        standing
            .lines
            .iter()
            .any(|line| line.answers.contains(&Answer::Twice))
    );
}

#[test]
fn the_same_hand_over_twice_tells_both_receivers() {
    let mut book = Book::new("other");
    book.receive(&handover(), clean_scans(), None);
    let mut opened = book.register.receipts["R1"].opened.clone();
    opened.receipt = "R2".into();
    let (reasons, events) = packdown::custody::open(
        &book.register,
        &book.site,
        &tolerances(),
        opened,
        "dov",
        book.now,
    )
    .unwrap_err();
    // The second is told who was first; the first finds an entry that names the second.
    assert!(
        reasons[0].value.contains("received before as R1"),
        "{reasons:?}"
    );
    assert!(reasons[0].value.contains("Ada One"));
    book.apply(events);
    let case = &book.register.open_cases()[0].opened;
    assert_eq!(case.answer, Answer::Twice);
    assert_eq!(case.found["again_by"], "dov");
    assert!(case.sent["first_receipt"].contains("Ada One"));
}

#[test]
fn units_keep_their_serials_and_take_like_with_like() {
    let mut book = Book::new("other");
    let mut mixed = handover();
    mixed.packages[1].modules[0].chemistry = Some("sodium_ion".into());
    book.receive(&mixed, clean_scans(), Some("B"));
    let unite = |book: &Book, what: &[&str], unit: &str| {
        consolidate(
            &book.register,
            &book.site,
            &names(what),
            unit,
            Some("S77"),
            "ada",
            book.now,
        )
    };
    let no = unite(&book, &["MOD-0001", "MOD-0002"], "U1").unwrap_err();
    assert_eq!(whats(&no), vec!["chemistry in unit U1"]);
    let events = unite(&book, &["MOD-0001", "package:R1/P3"], "U1").unwrap();
    book.apply(events);
    // What is in the unit already counts when more is put in.
    assert!(unite(&book, &["MOD-0002"], "U1").is_err());
    assert_eq!(book.register.units["U1"].as_deref(), Some("S77"));
    let going = Dispatched {
        identities: Vec::new(),
        to: "Smelter".into(),
        address: "Road 3".into(),
        released_by: "ada".into(),
        taken_by: "Eve Driver".into(),
        purpose: "recycling".into(),
    };
    let events = dispatch(
        &book.register,
        &book.site,
        &names(&["unit:U1"]),
        &going,
        book.now,
    )
    .unwrap();
    let [RegisterEvent::Dispatched(gone)] = events.as_slice() else {
        panic!("{events:?}");
    };
    assert_eq!(
        gone.identities,
        names(&["MOD-0001", "MOD-0003", "MOD-0004"])
    );
}

// ---- the fold ---------------------------------------------------------------------------------

/// Two devices of one site; whatever order their entries are merged in, the register is the same.
#[test]
fn the_fold_gives_the_same_in_any_order_of_merging() {
    let mut book = Book::new("other");
    let closing = book.receive(&handover(), clean_scans(), Some("A"));
    let opened: RegisterEvent = book.register.receipts["R1"].opened.clone().into();
    let mut first = Log::open("one.invalid/log").unwrap();
    let mut second = Log::open("two.invalid/log").unwrap();
    let put = |log: &mut Log, minutes: i64, event: &RegisterEvent| {
        log.append(Draft {
            time: at(NOON).later(minutes * 60),
            actor: "ada".into(),
            kind: event.kind().into(),
            body: event.body().unwrap(),
            refs: Vec::new(),
            photos: Vec::new(),
        })
        .unwrap();
    };
    put(&mut first, 0, &opened);
    for event in &closing.events {
        put(&mut first, 1, event);
    }
    let moved = move_to(
        &book.register,
        &book.site,
        &names(&["MOD-0001"]),
        "B",
        "ada",
        book.now,
    )
    .unwrap();
    put(&mut second, 2, &moved[0]);
    put(&mut first, 3, &moved[0]);
    let entries: Vec<_> = first.entries().iter().chain(second.entries()).collect();
    let forwards = Register::fold(entries.iter().copied());
    let backwards = Register::fold(entries.iter().rev().copied());
    assert_eq!(format!("{forwards:?}"), format!("{backwards:?}"));
    assert!(forwards.misfits.is_empty(), "{:?}", forwards.misfits);
    assert_eq!(forwards.item("MOD-0001").unwrap().bay.as_deref(), Some("B"));
}

/// Entries that cannot be are kept and named, never a crash.
#[test]
fn entries_that_cannot_be_are_named() {
    let mut log = Log::open("one.invalid/log").unwrap();
    let mut put = |kind: &str, body: serde_json::Value| {
        log.append(Draft {
            time: at(NOON),
            actor: "x".into(),
            kind: kind.into(),
            body,
            refs: Vec::new(),
            photos: Vec::new(),
        })
        .unwrap();
    };
    put(
        "moved",
        serde_json::json!({"identities":["GHOST"],"to":"A","by":"ada"}),
    );
    put("moved", serde_json::json!({"nonsense": "yes"}));
    put("of_a_later_program", serde_json::json!({}));
    let register = Register::fold(log.entries());
    assert_eq!(register.misfits.len(), 2);
    assert!(register.misfits[0].why.contains("GHOST"));
    assert!(register.passed_over.contains("of_a_later_program"));
}

/// Every kind is read back as it was written.
#[test]
fn every_event_returns_from_its_body() {
    let mut book = Book::new("other");
    let closing = book.receive(&handover(), clean_scans(), Some("A"));
    for event in &closing.events {
        let again = RegisterEvent::read(event.kind(), &event.body().unwrap())
            .unwrap()
            .unwrap();
        assert_eq!(&again, event);
    }
    let kinds: std::collections::BTreeSet<_> = RegisterEvent::KINDS.iter().collect();
    assert_eq!(kinds.len(), RegisterEvent::KINDS.len());
}

#[test]
fn somebody_who_is_not_in_date_receives_nothing() {
    let book = Book::new("other");
    let opened = packdown::custody::ReceiptOpened {
        receipt: "R1".into(),
        handover: handover(),
        source: "x".into(),
        proof: "x".into(),
        released: None,
        checkpoint: None,
        delivered_by: "Dan Driver".into(),
        vehicle: None,
    };
    for who in ["cleo", "nobody"] {
        let (reasons, events) = packdown::custody::open(
            &book.register,
            &book.site,
            &tolerances(),
            opened.clone(),
            who,
            book.now,
        )
        .unwrap_err();
        assert_eq!(reasons[0].what, "who may receive a load");
        assert!(events.is_empty());
    }
    let day: Moment = at("2026-01-31T23:00:00+00:00");
    assert!(
        packdown::custody::open(
            &book.register,
            &book.site,
            &tolerances(),
            opened,
            "cleo",
            day
        )
        .is_ok()
    );
}
