//! The audit of a whole table: first reading, second reading where rows do not stand in order,
//! whole chains, and the answer.

use std::io::Read;

use chrono::{DateTime, SecondsFormat};

use super::answer::{Check, ChecksDone, EventsAnswer, EventsFinding, EventsQuestion};
use super::fault::EventsFault;
use super::fold::{Found, Known, Standing, State};
use super::heads::{Heads, Kept};
use super::names::{Name, Parties, Places};
use super::rounds::{Owner, Piece, Side, rounds};
use super::row::Event;
use super::second_reading::{Gathered, MOST_ROWS, second_reading};
use crate::ledger::{Hash, link};

/// A table that can be read from its beginning more than once.
pub trait EventsInput {
    /// What reads it.
    type Reader: Read;

    /// Begins to read.
    ///
    /// # Errors
    /// What the system says.
    fn open(&self) -> Result<Self::Reader, std::io::Error>;
}

/// What one worker keeps of its half of the modules.
#[derive(Debug, Default)]
pub(super) struct Half {
    pub(super) places: Places,
    pub(super) parties: Parties,
    pub(super) states: Vec<State>,
    /// Where the chains are hashed: their hashes so far.
    pub(super) heads: Option<Vec<Hash>>,
    pub(super) found: Vec<Found>,
    pub(super) waiting: Gathered,
    /// Most rows kept at once.
    pub(super) most_rows: u64,
    events: u64,
}

impl Half {
    fn new(chain: bool, most_rows: u64) -> Self {
        Self {
            heads: chain.then(Vec::new),
            most_rows,
            ..Self::default()
        }
    }

    /// The event with a place for its module and lasting codes for the parties.
    pub(super) fn known(&mut self, event: &Event, place: u32, piece: &Piece<'_>) -> Known {
        let row = event.row(piece.text);
        let from = self.parties.code(event.from, row);
        let to = self.parties.code(event.to, row);
        let line = piece.lines_before + u64::from(event.line) + 1;
        Known::new(event, place, from, to, line)
    }

    pub(super) fn head_of(&mut self, place: u32) -> Option<&mut Hash> {
        self.heads.as_mut()?.get_mut(place as usize)
    }
}

impl Owner for Half {
    fn take(&mut self, side: Side, pieces: &[Piece<'_>; 2]) {
        for piece in pieces {
            let events = piece.read.of(side);
            self.events += events.len() as u64;
            for event in events {
                let (place, is_new) = self.places.place(event, piece.text);
                if is_new {
                    self.states.push(State::default());
                    if let Some(heads) = &mut self.heads {
                        heads.push(Hash::default());
                    }
                }
                let known = self.known(event, place, piece);
                let may_wait = self.waiting.len() < self.most_rows;
                let Some(state) = self.states.get_mut(place as usize) else {
                    continue;
                };
                let row = event.row(piece.text);
                if !state.take(&known, may_wait, &mut self.found) {
                    self.waiting.keep(known, row, self.heads.is_some());
                } else if state.standing == Standing::Ordered
                    && let Some(head) = self.head_of(place)
                {
                    *head = link(head, row);
                }
            }
        }
    }
}

/// Checks every chain of the table. With `kept`, the hash of each chain is compared as well.
///
/// `progress` is told the bytes read so far; a table out of order is read again from its beginning.
///
/// # Errors
/// The first row that cannot be read, with its line and column; a file that changes meanwhile.
pub fn audit_events(
    input: &impl EventsInput,
    question: &EventsQuestion,
    kept: Option<&mut dyn Read>,
    progress: &mut dyn FnMut(u64),
) -> Result<Audited, EventsFault> {
    audit_within(MOST_ROWS, input, question, kept, progress)
}

fn audit_within(
    most_rows: u64,
    input: &impl EventsInput,
    question: &EventsQuestion,
    kept: Option<&mut dyn Read>,
    progress: &mut dyn FnMut(u64),
) -> Result<Audited, EventsFault> {
    let chain = question.chain || kept.is_some();
    let mut halves = [Half::new(chain, most_rows), Half::new(chain, most_rows)];
    rounds(input.open()?, question, &mut halves, progress)?;
    let out_of_order = second_reading(input, question, &mut halves, progress)?;
    for half in &mut halves {
        for (place, state) in (0..).zip(&half.states) {
            state.end(place, question, &mut half.found);
        }
    }
    let [even, odd] = &halves;
    let names = [even.places.names(false), odd.places.names(true)];
    let heads = Heads::of(&halves, &names);
    let kept = match kept {
        Some(kept) => Some(Kept::compare(kept, heads.as_ref())?),
        None => None,
    };
    Ok(Audited::new(
        question,
        out_of_order,
        halves,
        names,
        heads,
        kept,
    ))
}

/// A table that was checked.
#[derive(Debug)]
pub struct Audited {
    halves: [Half; 2],
    names: [Vec<Name>; 2],
    /// Findings of the rows, in the order of the report.
    found: Vec<(Side, Found)>,
    /// Findings of the hashes.
    kept: Vec<EventsFinding>,
    answer: EventsAnswer,
    heads: Option<Heads>,
}

impl Audited {
    fn new(
        question: &EventsQuestion,
        out_of_order: u64,
        mut halves: [Half; 2],
        names: [Vec<Name>; 2],
        heads: Option<Heads>,
        kept: Option<Kept>,
    ) -> Self {
        let with_kept = kept.is_some();
        let kept = kept.map_or_else(Vec::new, |kept| kept.findings);
        let [even, odd] = &mut halves;
        let mut found: Vec<(Side, Found)> = std::mem::take(&mut even.found)
            .into_iter()
            .map(|found| (Side::Even, found))
            .chain(
                std::mem::take(&mut odd.found)
                    .into_iter()
                    .map(|found| (Side::Odd, found)),
            )
            .collect();
        let name = |side: Side, found: &Found| side.of(&names).get(found.slot as usize);
        found.sort_unstable_by(|(one_side, one), (other_side, other)| {
            (one.check, one.line, name(*one_side, one)).cmp(&(
                other.check,
                other.line,
                name(*other_side, other),
            ))
        });
        let checks = Check::ALL
            .into_iter()
            .filter(|check| with_kept || !check.needs_heads())
            .map(|check| ChecksDone {
                check,
                count: found
                    .iter()
                    .filter(|(_, found)| found.check == check)
                    .count() as u64
                    + kept.iter().filter(|found| found.check == check).count() as u64,
            })
            .collect();
        let answer = EventsAnswer {
            events: halves.iter().map(|half| half.events).sum(),
            modules: halves.iter().map(|half| half.states.len() as u64).sum(),
            out_of_order,
            last_step: question.last_step,
            deadline_days: question.deadline_days,
            checks,
            root: heads.as_ref().map(Heads::root),
            findings: Vec::new(),
        };
        Self {
            halves,
            names,
            found,
            kept,
            answer,
            heads,
        }
    }

    /// The answer with at most `shown` findings of each check.
    #[must_use]
    pub fn answer(&self, shown: usize) -> EventsAnswer {
        let mut answer = self.answer.clone();
        for check in Check::ALL {
            answer.findings.extend(
                self.found
                    .iter()
                    .filter(|(_, found)| found.check == check)
                    .take(shown)
                    .map(|(side, found)| self.finding(*side, found)),
            );
            answer.findings.extend(
                self.kept
                    .iter()
                    .filter(|found| found.check == check)
                    .take(shown)
                    .cloned(),
            );
        }
        answer
    }

    /// Every finding, in the order of the report.
    pub fn findings(&self) -> impl Iterator<Item = EventsFinding> {
        self.found
            .iter()
            .map(|(side, found)| self.finding(*side, found))
            .chain(self.kept.iter().cloned())
    }

    /// The hashes of the chains, where they were asked for.
    #[must_use]
    pub const fn heads(&self) -> Option<&Heads> {
        self.heads.as_ref()
    }

    fn finding(&self, side: Side, found: &Found) -> EventsFinding {
        let text = |value: u64| match found.check {
            Check::HandOverGap => side.of(&self.halves).parties.name(value),
            Check::ClockReversal | Check::LateDispatch => instant(value),
            _ => value.to_string(),
        };
        EventsFinding {
            check: found.check,
            line: Some(found.line).filter(|line| *line > 0),
            module_id: side
                .of(&self.names)
                .get(found.slot as usize)
                .map(Name::text)
                .unwrap_or_default(),
            seq: found.number,
            is: text(found.is),
            wanted: text(found.wanted),
        }
    }
}

/// Seconds since 1970 as a person writes them.
fn instant(seconds: u64) -> String {
    i64::try_from(seconds)
        .ok()
        .and_then(|seconds| DateTime::from_timestamp(seconds, 0))
        .map_or_else(
            || seconds.to_string(),
            |instant| instant.to_rfc3339_opts(SecondsFormat::Secs, true),
        )
}

#[cfg(test)]
mod tests {
    use std::fmt::Write as _;

    use super::*;

    struct Text(String);

    impl EventsInput for Text {
        type Reader = std::io::Cursor<Vec<u8>>;

        fn open(&self) -> std::io::Result<Self::Reader> {
            Ok(std::io::Cursor::new(self.0.clone().into_bytes()))
        }
    }

    #[test]
    fn many_readings_find_what_one_finds() {
        // Every module's rows come backwards, and number 2 stands twice.
        let mut text = String::from("module_id,seq,ts,kind,from_party,to_party\n");
        for number in (1..=9_u32).rev().chain([2]) {
            for module in 0..60 {
                let name = if module % 3 == 0 { "m" } else { "" };
                let from = if (module + number) % 7 == 0 {
                    99
                } else {
                    number
                };
                writeln!(
                    text,
                    "{name}{module},{number},{},packed,{from},{}",
                    1_000 + number * (module % 4),
                    number + 1
                )
                .unwrap();
            }
        }
        let question = EventsQuestion {
            chain: true,
            ..EventsQuestion::default()
        };
        let whole = audit_within(10_000, &Text(text.clone()), &question, None, &mut |_| {});
        let whole = whole.unwrap();
        assert_eq!(whole.answer(0).out_of_order, 60);
        assert_eq!(whole.answer(0).count(Check::SequenceHole), 60);
        for most_rows in [1, 7, 35, 100] {
            let mut readings = 0;
            let mut last = u64::MAX;
            let parts = audit_within(most_rows, &Text(text.clone()), &question, None, &mut |at| {
                readings += u32::from(at <= last);
                last = at;
            });
            let parts = parts.unwrap();
            assert!(readings > 2, "{readings} readings");
            assert_eq!(parts.answer(1_000), whole.answer(1_000), "{most_rows}");
            assert_eq!(parts.heads(), whole.heads());
        }
    }

    #[test]
    fn a_file_that_changes_between_two_readings_is_told() {
        struct Changing(std::cell::Cell<u32>);
        impl EventsInput for Changing {
            type Reader = std::io::Cursor<Vec<u8>>;
            fn open(&self) -> std::io::Result<Self::Reader> {
                let head = "module_id,seq,ts,kind,from_party,to_party\n";
                let times = self.0.get();
                self.0.set(times + 1);
                let rows = if times == 0 {
                    "1,1,9,removed,a,b\n1,1,9,removed,a,b\n"
                } else {
                    "1,1,9,removed,a,b\n"
                };
                Ok(std::io::Cursor::new(format!("{head}{rows}").into_bytes()))
            }
        }
        let input = Changing(std::cell::Cell::new(0));
        let question = EventsQuestion::default();
        assert!(matches!(
            audit_events(&input, &question, None, &mut |_| {}),
            Err(EventsFault::Changed)
        ));
    }
}
