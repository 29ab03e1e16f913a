//! The gate against a second opinion written in another style: a flat list of what happened, read
//! backwards each time a question is asked. Nothing is kept, nothing is remembered.

use std::collections::BTreeMap;

use packdown::job::Job;
use packdown::procedure::{
    Act, Branch, Entry, Kind, Outcome, Per, Procedure, Slot, Step, Value, closed,
};

use crate::lawful;

/// What happened, newest last.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Fact {
    Passed(String, Slot),
    Tried(String, Slot),
    LockOff,
    IsolatorMoved,
    RestartPlugged,
    /// These links of the proof no longer hold.
    Spoiled(Vec<&'static str>),
    Stopped,
    Resumed,
    TakenBack(String),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holds {
    Yes,
    NoLonger,
    No,
}

struct Oracle<'a> {
    procedure: &'a Procedure,
    left_out: &'a [String],
    modules: usize,
    facts: Vec<Fact>,
}

/// From the try-start to the release, in order.
const PROOF: [&str; 7] = ["C18", "C19", "C20", "C21", "C22", "C24", "C25"];

impl Oracle<'_> {
    fn step(&self, id: &str) -> &Step {
        self.procedure
            .steps
            .iter()
            .find(|step| step.id == id)
            .unwrap()
    }

    /// Whether a step holds: its last pass, and what came after it.
    fn holds(&self, id: &str, slot: Slot) -> Holds {
        let own = |fact: &Fact| matches!(fact, Fact::Passed(step, at) | Fact::Tried(step, at) if step == id && *at == slot);
        let Some(at) = self.facts.iter().rposition(own) else {
            return Holds::No;
        };
        if matches!(self.facts[at], Fact::Tried(..)) {
            return Holds::No;
        }
        let mut answer = Holds::Yes;
        for fact in &self.facts[at + 1..] {
            let spoils = match fact {
                Fact::Spoiled(links) => links.contains(&id).then_some(Holds::NoLonger),
                Fact::LockOff if id == "C17" => Some(Holds::No),
                Fact::IsolatorMoved if ["C13", "C15", "C16", "C17"].contains(&id) => {
                    Some(Holds::No)
                }
                Fact::RestartPlugged if id == "C12" => Some(Holds::No),
                Fact::LockOff | Fact::IsolatorMoved | Fact::RestartPlugged => {
                    PROOF.contains(&id).then_some(Holds::NoLonger)
                }
                Fact::TakenBack(step) if step == id => Some(Holds::No),
                Fact::TakenBack(step) if PROOF.contains(&step.as_str()) => {
                    PROOF.contains(&id).then_some(Holds::NoLonger)
                }
                // The tester proved anew: the two readings after it are owed again.
                Fact::Passed(step, _) if step == "C20" => {
                    ["C21", "C22"].contains(&id).then_some(Holds::NoLonger)
                }
                Fact::Passed(step, _) if step == "Z03" => {
                    PROOF.contains(&id).then_some(Holds::NoLonger)
                }
                _ => None,
            };
            answer = match (answer, spoils) {
                (Holds::No, _) | (_, Some(Holds::No)) => Holds::No,
                (_, Some(Holds::NoLonger)) => Holds::NoLonger,
                (answer, _) => answer,
            };
        }
        answer
    }

    /// Whether everything above a step holds, however far up.
    fn stands(
        &self,
        id: &str,
        slot: Slot,
        fresh: bool,
        seen: &mut BTreeMap<(String, Slot), bool>,
    ) -> bool {
        let step = self.step(id);
        let slot = if step.per == Per::Job { None } else { slot };
        if let Some(known) = seen.get(&(id.to_owned(), slot)) {
            return *known;
        }
        let own = match self.holds(id, slot) {
            Holds::Yes => true,
            Holds::NoLonger => !fresh,
            Holds::No => false,
        };
        let answer = own && self.above(step, slot, fresh, seen);
        seen.insert((id.to_owned(), slot), answer);
        answer
    }

    fn above(
        &self,
        step: &Step,
        slot: Slot,
        fresh: bool,
        seen: &mut BTreeMap<(String, Slot), bool>,
    ) -> bool {
        step.needs.iter().map(ToString::to_string).all(|need| {
            if let Some(id) = need.strip_suffix('?') {
                return self.left_out.iter().any(|out| out == id)
                    || self.stands(id, slot, fresh, seen);
            }
            if let Some(id) = need.strip_suffix('*') {
                return (0..self.modules).all(|module| self.stands(id, Some(module), fresh, seen));
            }
            if need.contains('|') {
                return need.split('|').any(|id| {
                    let step = self.step(id);
                    let at = if step.per == Per::Job { None } else { slot };
                    let passed = match self.holds(id, at) {
                        Holds::Yes => true,
                        Holds::NoLonger => !fresh,
                        Holds::No => false,
                    };
                    passed && self.stands(id, slot, fresh, seen)
                });
            }
            self.stands(&need, slot, fresh, seen)
        })
    }

    fn is_open(&self, id: &str, slot: Slot) -> bool {
        let step = self.step(id);
        let stopped = self
            .facts
            .iter()
            .rposition(|fact| matches!(fact, Fact::Stopped | Fact::Resumed))
            .is_some_and(|at| self.facts[at] == Fact::Stopped);
        if stopped && step.branch != Branch::RedFlag {
            return false;
        }
        // Everything that touches, and every link of the proof, rests on fresh links only.
        let fresh = PROOF.contains(&id) || step.is_touching();
        let lift = step.does_act(Act::LiftModule);
        let from_the_top = !lift
            || (0..slot.unwrap_or(0)).all(|above| self.holds("M09", Some(above)) != Holds::No);
        from_the_top && self.above(step, slot, fresh, &mut BTreeMap::new())
    }
}

/// A small generator with a seed, so that a failure can be run again.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % sides
    }
}

/// Steps of the branch for a damaged module are not for the sound modules of this job.
fn in_play(step: &Step) -> bool {
    step.when != packdown::procedure::When::Damaged && step.branch == Branch::Main
}

#[test]
fn the_gate_opens_where_the_oracle_opens_it_whatever_happens() {
    let lawful = lawful::entries();
    let by_step: BTreeMap<(String, Option<String>), Entry> = lawful
        .iter()
        .map(|entry| {
            (
                (entry.step.clone().unwrap(), entry.module.clone()),
                entry.clone(),
            )
        })
        .collect();
    let begin = lawful[0].at;
    let mut compared = 0_u32;
    let mut events = 0_u32;
    for seed in 0..20 {
        let mut dice = Dice(seed * 7919 + 1);
        let mut job: Job = lawful::empty(&[]);
        let procedure = job.frame().procedure.clone();
        let modules: Vec<String> = job.frame().modules.iter().map(|m| m.id.clone()).collect();
        let left_out = job.plan().left_out.clone();
        let mut oracle = Oracle {
            procedure: &procedure,
            left_out: &left_out,
            modules: modules.len(),
            facts: Vec::new(),
        };
        // Seconds since the beginning; entries come minutes apart, so no pause spoils anything.
        let mut clock = 86_400_i64;
        for _ in 0..170 {
            clock += 60 + i64::try_from(dice.roll(240)).unwrap();
            compare(&job, &oracle, &procedure, modules.len(), seed);
            compared += 1;
            let rolled = dice.roll(44);
            if rolled < 7 {
                events += 1;
                event(rolled, &mut dice, &mut job, &mut oracle, begin, clock);
                continue;
            }
            let open: Vec<(usize, Slot)> = job
                .open_steps()
                .into_iter()
                .filter(|(place, _)| in_play(&procedure.steps[*place]))
                .collect();
            if open.is_empty() {
                continue;
            }
            let (place, slot) = open[dice.roll(open.len())];
            let id = procedure.steps[place].id.clone();
            let module = slot.map(|module| modules[module].clone());
            let Some(entry) = by_step.get(&(id.clone(), module)) else {
                continue;
            };
            let shift = clock - entry.at.seconds_since(begin);
            let mut entry = just_now(lawful::moved(entry, shift));
            // Now and then a reading is out of its limits.
            let fails = id == "C21" && dice.roll(4) == 0;
            if fails {
                entry = lawful::with(
                    entry,
                    "readings",
                    r#"[{"pair":"DC+/DC-","supply":"dc","voltage_v":23.4}]"#,
                );
            }
            let taken = job.take(entry);
            match taken.judgement.outcome {
                Outcome::Passed => oracle.facts.push(Fact::Passed(id, slot)),
                Outcome::NotPassed => tried(&mut oracle, &id, slot),
                other => panic!("seed {seed}: {id} {other:?} {:?}", taken.judgement.reasons),
            }
        }
    }
    assert!(
        compared > 3_000 && events > 300,
        "{compared} comparisons, {events} events"
    );
}

/// A step that did not pass: it is open again, and what came after it in the proof is owed.
fn tried(oracle: &mut Oracle<'_>, id: &str, slot: Slot) {
    let released = oracle.holds("C25", None) != Holds::No;
    oracle.facts.push(Fact::Tried(id.to_owned(), slot));
    if let Some(at) = PROOF.iter().position(|link| *link == id) {
        oracle.facts.push(Fact::Spoiled(PROOF[at + 1..].to_vec()));
    }
    let void: &[&str] = match id {
        "C21" => &["C19", "C20"],
        "C22" => &["C20", "C21"],
        _ => &[],
    };
    for link in void {
        if oracle.holds(link, None) != Holds::No {
            oracle.facts.push(Fact::Tried((*link).to_owned(), None));
        }
    }
    if id == "C21" && released {
        oracle.facts.push(Fact::Spoiled(PROOF.to_vec()));
    }
}

/// The entry as it would be made at its new time: parts opened and covered just now.
fn just_now(mut entry: Entry) -> Entry {
    let now = entry.at.local();
    for table in ["poles", "breaks"] {
        let rows = entry.evidence.rows(table);
        if rows.is_empty() {
            continue;
        }
        let rows: Vec<Value> = rows
            .into_iter()
            .map(|row| {
                let mut row = row.clone();
                for time in ["opened_at", "covered_at"] {
                    if row.answer(time).is_some() {
                        row.put(time, Value::Text(now.clone()));
                    }
                }
                Value::Row(row)
            })
            .collect();
        entry.evidence.put(table, Value::List(rows));
    }
    entry
}

fn event(
    rolled: usize,
    dice: &mut Dice,
    job: &mut Job,
    oracle: &mut Oracle<'_>,
    begin: packdown::clock::Moment,
    clock: i64,
) {
    let at = chrono::DateTime::parse_from_rfc3339(&begin.local()).unwrap()
        + chrono::Duration::seconds(clock);
    let at = at.to_rfc3339();
    let line = |kind: &str, more: &str| {
        lawful::read(&format!(
            r#"{{"kind":"{kind}","at":"{at}","by":"nora","reason":"drawn by lot"{more}}}"#
        ))
    };
    let stopped = job.progress().stop().is_some();
    if rolled == 6 {
        take_back(dice, job, oracle, &at);
        return;
    }
    let (entry, fact) = match rolled {
        0 => (line("lock_removed", ""), Fact::LockOff),
        1 => (line("isolator_moved", ""), Fact::IsolatorMoved),
        2 => (line("restart_lead_plugged", ""), Fact::RestartPlugged),
        3 => (line("shift_change", ""), Fact::Spoiled(PROOF.to_vec())),
        4 if stopped => (
            line("resume", r#","evidence":{"people_left":false}"#),
            Fact::Resumed,
        ),
        4 => (line("stop_work", ""), Fact::Stopped),
        _ => (
            line("reading", r#","evidence":{"dead_side_voltage_v":11.2}"#),
            Fact::Spoiled(PROOF.to_vec()),
        ),
    };
    let taken = job.take(entry);
    assert_eq!(taken.judgement.outcome, Outcome::Recorded, "{taken:?}");
    oracle.facts.push(fact);
}

/// Takes one link of the proof back that somebody had passed.
fn take_back(dice: &mut Dice, job: &mut Job, oracle: &mut Oracle<'_>, at: &str) {
    let link = PROOF[dice.roll(PROOF.len())];
    if oracle.holds(link, None) == Holds::No {
        return;
    }
    let number = job
        .taken()
        .iter()
        .rposition(|taken| taken.entry.step.as_deref() == Some(link))
        .unwrap()
        + 1;
    let taken = job.take(lawful::read(&format!(
        r#"{{"kind":"correction","amends":{number},"at":"{at}","by":"nora","reason":"drawn by lot"}}"#
    )));
    assert_eq!(taken.judgement.outcome, Outcome::Recorded, "{taken:?}");
    oracle.facts.push(Fact::TakenBack(link.to_owned()));
}

fn compare(job: &Job, oracle: &Oracle<'_>, procedure: &Procedure, modules: usize, seed: u64) {
    for (place, step) in procedure
        .steps
        .iter()
        .enumerate()
        .filter(|(_, step)| in_play(step))
    {
        if oracle.left_out.contains(&step.id) {
            continue;
        }
        let slots: Vec<Slot> = match step.per {
            Per::Job => vec![None],
            Per::Module => (0..modules).map(Some).collect(),
        };
        for slot in slots {
            let reasons = closed(job.frame(), job.progress(), place, slot, None);
            let oracle_opens = oracle.is_open(&step.id, slot);
            assert_eq!(
                reasons.is_empty(),
                oracle_opens,
                "seed {seed}: {} {slot:?}: gate says {reasons:?}; after {:?}",
                step.id,
                oracle.facts
            );
        }
    }
}

#[test]
fn taking_any_entry_of_the_proof_back_closes_every_touch() {
    for link in PROOF {
        let mut job = lawful::before("A02");
        let number = job
            .taken()
            .iter()
            .position(|taken| taken.entry.step.as_deref() == Some(link))
            .unwrap()
            + 1;
        let at = job.progress().last_at().unwrap();
        let taken = job.take(lawful::read(&format!(
            r#"{{"kind":"correction","amends":{number},"at":"{at}","by":"nora","reason":"not sure any more"}}"#
        )));
        assert_eq!(taken.judgement.outcome, Outcome::Recorded);
        for (place, step) in job.frame().procedure.steps.iter().enumerate() {
            if step.is_touching() && step.per == Per::Job {
                assert!(
                    !job.closed(place, None).is_empty(),
                    "{} stays open without {link}",
                    step.id
                );
            }
        }
        let taken = job.take(lawful::entry("A02"));
        assert_eq!(
            taken.judgement.outcome,
            Outcome::Refused,
            "A02 without {link}"
        );
        assert_eq!(taken.entry.kind, Kind::Step);
    }
}

/// Every order of up to [`LONGEST`] entries from the try-start on, with things that spoil the proof
/// in between; an order ends at its first refusal, as a record does.
#[test]
fn no_order_of_entries_reaches_a_touch_without_the_whole_dead_proof() {
    let words: Vec<Entry> = PROOF
        .iter()
        .chain(&["A12", "A01", "A02"])
        .map(|id| lawful::entry(id))
        .collect();
    let mut seen = Orders::default();
    walk(
        &lawful::before(PROOF[0]),
        &words,
        &mut Vec::new(),
        &mut seen,
    );
    assert!(
        seen.touched > 10 && seen.refused > 1_000 && seen.orders > 1_000,
        "{seen:?}"
    );
}

const LONGEST: usize = 11;
const SPOILS: [&str; 2] = ["lock_removed", "restart_lead_plugged"];

#[derive(Debug, Default)]
struct Orders {
    orders: u32,
    refused: u32,
    touched: u32,
}

fn walk(job: &Job, words: &[Entry], so_far: &mut Vec<String>, seen: &mut Orders) {
    if so_far.len() == LONGEST {
        return;
    }
    let last = job.progress().last_at().unwrap();
    for word in words {
        let id = word.step.clone().unwrap();
        // Doing a link twice is tried once; more often teaches nothing new.
        if so_far.iter().filter(|done| **done == id).count() == 2 {
            continue;
        }
        let entry = just_now(lawful::moved(word, last.seconds_since(word.at) + 400));
        let mut next = job.clone();
        seen.orders += 1;
        if next.take(entry).judgement.outcome != Outcome::Passed {
            seen.refused += 1;
            continue;
        }
        if id == "A01" || id == "A02" {
            seen.touched += 1;
            assert!(is_proved(so_far), "{id} passed after {so_far:?}");
        }
        so_far.push(id);
        walk(&next, words, so_far, seen);
        so_far.pop();
    }
    for kind in SPOILS {
        if so_far.iter().any(|done| SPOILS.contains(&done.as_str())) {
            continue;
        }
        let at = chrono::DateTime::parse_from_rfc3339(&last.local()).unwrap()
            + chrono::Duration::seconds(30);
        let mut next = job.clone();
        next.take(lawful::read(&format!(
            r#"{{"kind":"{kind}","at":"{}","by":"nora","reason":"one of all orders"}}"#,
            at.to_rfc3339()
        )));
        so_far.push(kind.to_owned());
        walk(&next, words, so_far, seen);
        so_far.pop();
    }
}

/// Whether the last time of each link stands in order, with nothing after it that spoils.
fn is_proved(so_far: &[String]) -> bool {
    let last = |id: &str| so_far.iter().rposition(|done| done == id);
    let links: Option<Vec<usize>> = PROOF.iter().map(|id| last(id)).collect();
    let spoiled = SPOILS.iter().filter_map(|kind| last(kind)).max();
    links.is_some_and(|links| links.is_sorted() && spoiled.is_none_or(|spoiled| spoiled < links[0]))
}
