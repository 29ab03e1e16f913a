//! Rows that do not stand in the order of their numbers. What waits for a number that was passed
//! over is sorted at the end of the first reading; most files need no more. Modules for which that
//! is not enough are gathered in a second reading, sorted and checked from the beginning; a
//! shuffled file needs that for all of them, in as many readings as keep the memory small.

use super::answer::EventsQuestion;
use super::custody::{EventsInput, Half};
use super::fault::EventsFault;
use super::fold::{Known, Standing};
use super::rounds::{Owner, Piece, Side, rounds};
use crate::ledger::{Hash, link};

/// Most rows that one half keeps at once. With their text they take about 110 bytes each.
pub(super) const MOST_ROWS: u64 = 1_500_000;

/// Checks what waits and the disordered modules; gives the number of modules out of order.
pub(super) fn second_reading(
    input: &impl EventsInput,
    question: &EventsQuestion,
    halves: &mut [Half; 2],
    progress: &mut dyn FnMut(u64),
) -> Result<u64, EventsFault> {
    let mut out_of_order = 0;
    for half in halves.iter_mut() {
        let states = &half.states;
        half.found.retain(|found| {
            states
                .get(found.slot as usize)
                .is_some_and(|state| state.standing != Standing::Disordered)
        });
        let waiting = std::mem::take(&mut half.waiting);
        out_of_order += waiting.sort_and_check(half);
    }
    loop {
        let chosen = halves.each_mut().map(choose);
        if chosen.iter().all(|chosen| chosen.modules == 0) {
            return Ok(out_of_order);
        }
        let mut gathering = halves.each_mut().map(|half| Gathering {
            half,
            gathered: Gathered::default(),
            strangers: false,
        });
        rounds(input.open()?, question, &mut gathering, progress)?;
        for (gathering, chosen) in gathering.into_iter().zip(&chosen) {
            if gathering.strangers || gathering.gathered.len() != chosen.rows {
                return Err(EventsFault::Changed);
            }
            out_of_order += gathering.gathered.sort_and_check(gathering.half);
        }
    }
}

struct Chosen {
    modules: u64,
    rows: u64,
}

/// Marks disordered modules until there are enough for one reading.
fn choose(half: &mut Half) -> Chosen {
    let mut chosen = Chosen {
        modules: 0,
        rows: 0,
    };
    for state in &mut half.states {
        if state.standing != Standing::Disordered {
            continue;
        }
        let rows = u64::from(state.rows);
        // One module alone is taken however long its chain is.
        if chosen.modules > 0 && chosen.rows + rows > half.most_rows {
            break;
        }
        chosen.modules += 1;
        chosen.rows += rows;
        state.begin_anew();
    }
    chosen
}

/// Gathers the rows of the marked modules.
struct Gathering<'a> {
    half: &'a mut Half,
    gathered: Gathered,
    /// A module turned up that the first reading did not see.
    strangers: bool,
}

impl Owner for Gathering<'_> {
    fn take(&mut self, side: Side, pieces: &[Piece<'_>; 2]) {
        for piece in pieces {
            for event in piece.read.of(side) {
                let Some((place, state)) = self
                    .half
                    .places
                    .find(event, piece.text)
                    .and_then(|place| Some((place, self.half.states.get(place as usize)?)))
                else {
                    self.strangers = true;
                    continue;
                };
                if state.standing == Standing::Gathered {
                    let known = self.half.known(event, place, piece);
                    let with_text = self.half.heads.is_some();
                    self.gathered.keep(known, event.row(piece.text), with_text);
                }
            }
        }
    }
}

/// Rows to be sorted.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    /// Each with its place in the text.
    rows: Vec<(Known, u64, u16)>,
    text: Vec<u8>,
}

impl Gathered {
    pub(super) const fn len(&self) -> u64 {
        self.rows.len() as u64
    }

    /// Keeps a row, and its text where that will be hashed.
    pub(super) fn keep(&mut self, event: Known, row: &[u8], with_text: bool) {
        // A row is at most `LONGEST_LINE` long.
        let length = u16::try_from(row.len()).unwrap_or(u16::MAX);
        self.rows.push((event, self.text.len() as u64, length));
        if with_text {
            self.text.extend_from_slice(row);
        }
    }

    /// Checks the rows of each module in order, behind what its state knows already; passes over
    /// those that must be read again. Gives the number of modules.
    fn sort_and_check(mut self, half: &mut Half) -> u64 {
        self.rows
            .sort_unstable_by_key(|(event, ..)| (event.slot, event.number, event.line));
        let mut modules = 0;
        for chain in self
            .rows
            .chunk_by(|(one, ..), (next, ..)| one.slot == next.slot)
        {
            let Some(slot) = chain.first().map(|(event, ..)| event.slot) else {
                continue;
            };
            let mut head = half.head_of(slot).map_or_else(Hash::default, |head| *head);
            let Some(state) = half.states.get_mut(slot as usize) else {
                continue;
            };
            if state.standing == Standing::Disordered {
                continue;
            }
            modules += 1;
            state.standing = Standing::Sorted;
            for (event, at, length) in chain {
                state.take_sorted(event, &mut half.found);
                if half.heads.is_some() {
                    let row = usize::try_from(*at)
                        .ok()
                        .and_then(|at| self.text.get(at..at + usize::from(*length)));
                    head = link(&head, row.unwrap_or_default());
                }
            }
            if let Some(place) = half.head_of(slot) {
                *place = head;
            }
        }
        modules
    }
}
