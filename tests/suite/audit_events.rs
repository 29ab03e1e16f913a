//! Custody events in bulk: the streaming audit against a slow one that sorts, in whatever order the
//! rows stand; planted faults; hashes against values of another implementation; messages.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Cursor;

use packdown::audit::events::{
    Audited, Check, EventsAnswer, EventsFault, EventsInput, EventsQuestion, audit_events,
};

use crate::program::Bench;

const HEAD: &str = "module_id,seq,ts,kind,from_party,to_party\n";

struct Text<'a>(&'a str);

impl<'a> EventsInput for Text<'a> {
    type Reader = Cursor<&'a [u8]>;

    fn open(&self) -> std::io::Result<Self::Reader> {
        Ok(Cursor::new(self.0.as_bytes()))
    }
}

fn audit(text: &str, question: &EventsQuestion) -> Result<Audited, EventsFault> {
    audit_events(&Text(text), question, None, &mut |_| {})
}

fn answer(text: &str) -> EventsAnswer {
    audit(text, &EventsQuestion::default()).unwrap().answer(99)
}

fn counts(answer: &EventsAnswer) -> [u64; 6] {
    [
        Check::SequenceHole,
        Check::HandOverGap,
        Check::ClockReversal,
        Check::OpenChain,
        Check::LateDispatch,
        Check::LateStart,
    ]
    .map(|check| answer.count(check))
}

#[derive(Clone)]
struct Row {
    module: String,
    seq: u32,
    ts: u32,
    kind: &'static str,
    from: String,
    to: String,
}

/// The definition: rows by module and number, each beside the one before (`lag`), then by module.
fn slow(rows: &[Row]) -> [u64; 6] {
    let mut by_module: BTreeMap<&str, Vec<&Row>> = BTreeMap::new();
    for row in rows {
        by_module.entry(&row.module).or_default().push(row);
    }
    let mut found = [0; 6];
    for chain in by_module.values_mut() {
        chain.sort_by_key(|row| row.seq);
        for pair in chain.windows(2) {
            found[0] += u64::from(pair[1].seq != pair[0].seq + 1);
            found[1] += u64::from(pair[1].from != pair[0].to);
            found[2] += u64::from(pair[1].ts < pair[0].ts);
        }
        found[3] += u64::from(chain.last().unwrap().seq != 10);
        let time = |kind| chain.iter().filter(|r| r.kind == kind).map(|r| r.ts).max();
        if let (Some(removed), Some(dispatched)) = (time("removed"), time("dispatched")) {
            found[4] += u64::from(dispatched > removed + 365 * 86_400);
        }
        found[5] += u64::from(chain[0].seq != 1);
    }
    found
}

fn as_text(rows: &[Row]) -> String {
    let mut text = HEAD.to_owned();
    for row in rows {
        let Row {
            module,
            seq,
            ts,
            kind,
            from,
            to,
        } = row;
        writeln!(text, "{module},{seq},{ts},{kind},{from},{to}").unwrap();
    }
    text
}

struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    }

    fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            list.swap(last, usize::try_from(self.roll(last as u64 + 1)).unwrap());
        }
    }
}

/// Chains with faults of every kind, in the order of their times.
fn chains(dice: &mut Dice, modules: u64, faults: bool) -> Vec<Row> {
    const KINDS: [&str; 10] = [
        "removed",
        "packed",
        "loaded",
        "received",
        "inspected",
        "stored",
        "joined",
        "dispatched",
        "delivered",
        "recycled",
    ];
    const PARTIES: [&str; 6] = [
        "7",
        "crew",
        "crew-04",
        "the warehouse by the harbour",
        "the warehouse by the harbour, hall 2",
        "1234567890",
    ];
    let mut rows = Vec::new();
    for n in 0..modules {
        let module = match n % 4 {
            0 => format!("SN-{n:07}"),
            1 => format!("{n:03}"),
            _ => (n * 37).to_string(),
        };
        let mut ts = 1_700_000_000 + u32::try_from(dice.roll(40_000_000)).unwrap();
        let mut holder = PARTIES[0].to_owned();
        for (seq, kind) in (1_u32..).zip(KINDS) {
            let odd = |dice: &mut Dice, share| faults && dice.roll(share) == 0;
            ts += 600 + u32::try_from(dice.roll(90_000)).unwrap();
            if kind == "dispatched" && odd(dice, 9) {
                ts += 366 * 86_400;
            }
            let to = PARTIES[usize::try_from(dice.roll(6)).unwrap()].replace(',', " ");
            let from = if odd(dice, 20) { "nobody" } else { &holder };
            let row = Row {
                module: module.clone(),
                seq,
                ts: if odd(dice, 30) { ts - 40 * 86_400 } else { ts },
                kind,
                from: from.to_owned(),
                to: to.clone(),
            };
            holder = to;
            if !odd(dice, 15) {
                rows.push(row);
            }
        }
    }
    rows.sort_by_key(|row| row.ts);
    rows
}

#[test]
fn the_streaming_audit_finds_what_sorting_finds() {
    let mut dice = Dice(20_261_125);
    for round in 0..60 {
        let mut rows = chains(&mut dice, 1 + round * 3, true);
        match round % 4 {
            1 => dice.shuffle(&mut rows),
            2 => rows.reverse(),
            _ => {}
        }
        let wanted = slow(&rows);
        assert_eq!(counts(&answer(&as_text(&rows))), wanted, "round {round}");
        // A number that stands twice is a hole in its place, wherever it stands. Twice the same
        // row keeps the rest of the answer independent of which comes first.
        for _ in 0..round % 5 {
            let mut again = rows[usize::try_from(dice.roll(rows.len() as u64)).unwrap()].clone();
            again.from = again.to.clone();
            if let Some(first) = rows
                .iter_mut()
                .find(|row| row.module == again.module && row.seq == again.seq)
            {
                *first = again.clone();
            }
            let at = usize::try_from(dice.roll(rows.len() as u64)).unwrap();
            rows.insert(at, again);
        }
        assert_eq!(
            counts(&answer(&as_text(&rows))),
            slow(&rows),
            "round {round}"
        );
    }
}

#[test]
fn a_clean_table_has_no_findings() {
    let rows = chains(&mut Dice(1), 300, false);
    let answer = answer(&as_text(&rows));
    assert_eq!(counts(&answer), [0; 6]);
    assert_eq!((answer.events, answer.modules), (3_000, 300));
    assert_eq!(answer.out_of_order, 0);
    assert!(answer.findings.is_empty() && !answer.has_findings());
}

#[test]
fn one_planted_fault_is_found_once_and_named() {
    let clean = chains(&mut Dice(5), 8, false);
    let text = as_text(&clean);
    let place = clean
        .iter()
        .position(|row| row.seq == 5 && row.module.starts_with("SN"))
        .unwrap();
    let before = clean
        .iter()
        .find(|row| row.module == clean[place].module && row.seq == 4)
        .unwrap();
    let line = Some(place as u64 + 2);
    let wrong_holder = clean[place].module.clone();
    for (check, change, is, wanted) in [
        (
            Check::HandOverGap,
            &(|rows: &mut Vec<Row>| rows[place].from = "a stranger".into())
                as &dyn Fn(&mut Vec<Row>),
            "a stranger".to_owned(),
            before.to.clone(),
        ),
        (
            Check::SequenceHole,
            &|rows: &mut Vec<Row>| {
                let from = rows[place].to.clone();
                let (module, seq) = (rows[place].module.clone(), 6);
                rows.iter_mut()
                    .find(|row| row.module == module && row.seq == seq)
                    .unwrap()
                    .from = before.to.clone();
                let _ = from;
                rows.remove(place);
            },
            "6".to_owned(),
            "5".to_owned(),
        ),
    ] {
        let mut rows = clean.clone();
        change(&mut rows);
        assert_ne!(as_text(&rows), text);
        let answer = answer(&as_text(&rows));
        assert_eq!(answer.findings.len(), 1, "{:?}", answer.findings);
        let found = &answer.findings[0];
        assert_eq!(found.check, check);
        assert_eq!((&found.is, &found.wanted), (&is, &wanted));
        assert_eq!(found.module_id, wrong_holder);
        if check == Check::HandOverGap {
            assert_eq!((found.line, found.seq), (line, 5));
        }
    }
}

#[test]
fn the_deadline_is_passed_by_one_second_and_not_by_none() {
    let table = |late: u32| {
        format!(
            "{HEAD}1,1,1000,removed,a,b\n1,2,{},dispatched,b,c\n",
            1_000 + 365 * 86_400 + late
        )
    };
    let question = EventsQuestion {
        last_step: 2,
        ..EventsQuestion::default()
    };
    let count = |text: &str, question: &EventsQuestion| {
        audit(text, question)
            .unwrap()
            .answer(0)
            .count(Check::LateDispatch)
    };
    assert_eq!(count(&table(0), &question), 0);
    assert_eq!(count(&table(1), &question), 1);
    let longer = EventsQuestion {
        deadline_days: 366,
        ..question.clone()
    };
    assert_eq!(count(&table(1), &longer), 0);
    let other_words = EventsQuestion {
        dispatched: "sent".into(),
        ..question
    };
    assert_eq!(count(&table(1), &other_words), 0);
}

#[test]
fn chains_hash_as_another_implementation_hashes_them() {
    // Values by Python's hashlib (OpenSSL): SHA-256 over 32 zero bytes and the first row, over that
    // hash and the second row; the root by RFC 6962 section 2.1 over the two lines of hashes.
    let text = format!(
        "{HEAD}7,1,1700000000,removed,a,b\r\nSN-1,1,1700000300,removed,x,y\n\
         7,2,1700000600,packed,b,carrier of the north"
    );
    let question = EventsQuestion {
        chain: true,
        ..EventsQuestion::default()
    };
    let audited = audit(&text, &question).unwrap();
    let mut heads = Vec::new();
    audited.heads().unwrap().write(&mut heads).unwrap();
    assert_eq!(
        String::from_utf8(heads).unwrap(),
        "module_id,head\n\
         7,d378731efd05bb96a3905c17434de9d7d571ca63ca5caf2a4dbb2577f04bf8f5\n\
         SN-1,3b8d61e7c8608270d27a0d36b63004c01b03eb8e140fd931f7a5771b85b4ac50\n"
    );
    assert_eq!(
        audited.answer(0).root.as_deref(),
        Some("74078a1efd0fbc4eaaa4415668cf2e1e58691deff138f90919b44a8339a6bffe")
    );
}

#[test]
fn the_order_of_the_rows_does_not_change_a_hash() {
    let mut dice = Dice(77);
    let mut rows = chains(&mut dice, 90, true);
    let question = EventsQuestion {
        chain: true,
        ..EventsQuestion::default()
    };
    let first = audit(&as_text(&rows), &question).unwrap();
    for _ in 0..5 {
        dice.shuffle(&mut rows);
        let other = audit(&as_text(&rows), &question).unwrap();
        assert_eq!(other.heads(), first.heads());
    }
    rows[17].to.push('x');
    assert_ne!(
        audit(&as_text(&rows), &question).unwrap().heads(),
        first.heads()
    );
}

#[test]
fn a_row_that_cannot_be_read_is_named() {
    for (rows, line, column, why) in [
        (
            "1,1,5,removed,a\n",
            2,
            "",
            "has 5 cells, but the head has 6",
        ),
        (
            "1,1,5,removed,a,b,c\n",
            2,
            "",
            "has more cells than the head, which has 6: `c`",
        ),
        (
            "1,1,5,removed,a,b\n,1,5,removed,a,b\n",
            3,
            "module_id",
            "is empty",
        ),
        (
            "1,1,5,removed,a,b\n\n1,-2,5,packed,b,c\n",
            4,
            "seq",
            "`-2` is not a whole number from 0 to 4294967295",
        ),
        (
            "1,01,5,removed,a,b\n",
            2,
            "seq",
            "`01` is not a whole number from 0 to 4294967295",
        ),
        (
            "1,4294967296,5,removed,a,b\n",
            2,
            "seq",
            "`4294967296` is not a whole number from 0 to 4294967295",
        ),
        (
            "1,1,2026-11-25,removed,a,b\n",
            2,
            "ts",
            "`2026-11-25` is not a whole number of seconds since 1970 from 1 to 4294967295",
        ),
        (
            "1,1,0,removed,a,b\n",
            2,
            "ts",
            "`0` is not a whole number of seconds since 1970 from 1 to 4294967295",
        ),
        (
            "1,1,5,removed, a,b\n",
            2,
            "from_party",
            "` a` begins or ends with a blank",
        ),
        (
            "1,1,5,removed,a,\"b\n",
            2,
            "to_party",
            "a quote is left open at the end of the line",
        ),
        (
            "1,1,5,removed,a,\"b\"\"c\"\n",
            2,
            "to_party",
            "a quote stands inside a quoted cell",
        ),
    ] {
        match audit(&format!("{HEAD}{rows}"), &EventsQuestion::default()) {
            Err(EventsFault::Row {
                line: found_line,
                column: found_column,
                why: found_why,
                ..
            }) => assert_eq!(
                (found_line, found_column.as_str(), found_why.as_str()),
                (line, column, why),
                "{rows}"
            ),
            other => panic!("{rows}: {other:?}"),
        }
    }
    // Far behind the first piece, in either half of it, the line is still the right one.
    let clean: String = (1..=400_000)
        .map(|n| format!("{n},1,5,removed,a,b\n"))
        .collect();
    for at in [3_usize, 150_000, 399_999] {
        let mut lines: Vec<&str> = clean.lines().collect();
        lines.insert(at, "x,1,5,removed,a,");
        let text = format!("{HEAD}{}\n", lines.join("\n"));
        match audit(&text, &EventsQuestion::default()) {
            Err(EventsFault::Row { line, .. }) => assert_eq!(line, at as u64 + 2),
            other => panic!("{:?}", other.map(|audited| audited.answer(0))),
        }
    }
}

#[test]
fn quotes_line_ends_and_column_order_make_no_difference() {
    let plain = format!("{HEAD}1,1,5,removed,a,b c\n1,2,6,packed,b c,d\n");
    let other = "\u{feff}to_party,place,kind,ts,from_party,seq,module_id\r\n\
                 \"b c\",x,removed,5,\"a\",1,\"1\"\r\n\r\nd,\"p, q\",packed,6,b c,2,1";
    let found = |text: &str| {
        let mut answer = answer(text);
        answer
            .findings
            .iter_mut()
            .for_each(|found| found.line = None);
        answer
    };
    assert_eq!(found(&plain), found(other));
}

#[test]
fn as_an_officer_meets_it() {
    let bench = Bench::with_lawful_job();
    let rows = chains(&mut Dice(9), 40, true);
    bench.write("events.csv", as_text(&rows));
    let wanted = slow(&rows);
    let ran = bench.run(&[
        "audit",
        "--events",
        "events.csv",
        "--findings",
        "found.csv",
        "--write-heads",
        "heads.csv",
        "--format",
        "json",
    ]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let total: u64 = wanted.iter().sum();
    for (n, count) in wanted.iter().enumerate() {
        assert_eq!(answer["checks"][n]["count"], *count);
    }
    assert_eq!(bench.read("found.csv").lines().count() as u64, total + 1);
    let text = bench.run(&["audit", "--events", "events.csv"]);
    assert_eq!(text.code, 1);
    assert!(
        text.out
            .starts_with(&format!("{} events of 40 modules\n", rows.len()))
    );
    assert!(text.out.contains("--findings FILE writes all of them."));

    // The same table holds against its hashes; a changed row does not, and is named.
    let same = bench.run(&[
        "audit",
        "--events",
        "events.csv",
        "--heads",
        "heads.csv",
        "--format",
        "json",
    ]);
    let same: serde_json::Value = serde_json::from_str(&same.out).unwrap();
    assert_eq!(same["checks"][6]["count"], 0);
    bench.change(
        "events.csv",
        "the warehouse by the harbour",
        "the warehouse by the harbouR",
    );
    let changed = bench.run(&[
        "audit",
        "--events",
        "events.csv",
        "--heads",
        "heads.csv",
        "--format",
        "json",
    ]);
    let changed: serde_json::Value = serde_json::from_str(&changed.out).unwrap();
    assert_eq!(changed["checks"][6]["check"], "head_differs");
    assert_eq!(changed["checks"][6]["count"], 1);

    // A finding is never lost in a half-written file, and a wrong table writes none.
    bench.write("wrong.csv", "module_id,seq,when\n");
    let ran = bench.run(&["audit", "--events", "wrong.csv", "--findings", "none.csv"]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err
            .contains("`wrong.csv` line 1: unknown column `when`"),
        "{}",
        ran.err
    );
    assert!(!bench.path("none.csv").exists());
    let ran = bench.run(&["audit", "--events", "gone.csv"]);
    assert_eq!(ran.code, 4);
}
