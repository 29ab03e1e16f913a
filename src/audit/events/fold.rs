//! The checks themselves: one chain, event after event, in 32 bytes of state.

use super::answer::{Check, EventsQuestion};
use super::row::{Event, Kind};

const DAY: u64 = 86_400;

/// What is kept of a module while its events go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct State {
    /// Holder after the last event.
    holder: u64,
    /// Rows of the module in the first reading.
    pub(super) rows: u32,
    /// Number of the last event.
    number: u32,
    /// Time of the last event.
    at: u32,
    /// The last time of removal; 0 where there is none.
    removed: u32,
    /// The last time of dispatch; 0 where there is none.
    dispatched: u32,
    /// Whether an event was taken.
    begun: bool,
    pub(super) standing: Standing,
}

/// How the events of a module come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Standing {
    /// One number after the other, from 1: what was taken is final.
    #[default]
    Ordered,
    /// A number was passed over and may come later: what follows waits, and is sorted at the end.
    Waiting,
    /// A number came again, or too much waits: a second reading begins the module anew.
    Disordered,
    /// The second reading gathers its events now.
    Gathered,
    /// Everything was sorted and checked.
    Sorted,
}

/// A finding while names are still codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Found {
    pub(super) check: Check,
    /// The module's place.
    pub(super) slot: u32,
    pub(super) number: u32,
    /// Line of the file, from 1; 0 for the whole chain.
    pub(super) line: u64,
    pub(super) is: u64,
    pub(super) wanted: u64,
}

/// An event whose module has a place and whose names are codes for good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Known {
    pub(super) slot: u32,
    pub(super) number: u32,
    pub(super) at: u32,
    pub(super) kind: Kind,
    pub(super) from: u64,
    pub(super) to: u64,
    pub(super) line: u64,
}

impl Known {
    pub(super) const fn new(event: &Event, slot: u32, from: u64, to: u64, line: u64) -> Self {
        Self {
            slot,
            number: event.number,
            at: event.at,
            kind: event.kind,
            from,
            to,
            line,
        }
    }
}

impl State {
    /// Forgets what was taken: the second reading gathers everything.
    pub(super) fn begin_anew(&mut self) {
        *self = Self {
            standing: Standing::Gathered,
            ..Self::default()
        };
    }

    /// Takes an event of the first reading; `false` where it has to wait.
    pub(super) fn take(&mut self, event: &Known, may_wait: bool, found: &mut Vec<Found>) -> bool {
        self.rows += 1;
        match self.standing {
            Standing::Ordered if event.number.checked_sub(1) == Some(self.number) => {
                self.take_sorted(event, found);
                return true;
            }
            Standing::Ordered | Standing::Waiting if may_wait && event.number > self.number => {
                self.standing = Standing::Waiting;
                return false;
            }
            _ => self.standing = Standing::Disordered,
        }
        true
    }

    /// Takes the next event of a chain in order, a number that stands twice among them.
    pub(super) fn take_sorted(&mut self, event: &Known, found: &mut Vec<Found>) {
        let mut find = |check, is, wanted| {
            found.push(Found {
                check,
                slot: event.slot,
                number: event.number,
                line: event.line,
                is,
                wanted,
            });
        };
        if !self.begun {
            if event.number != 1 {
                find(Check::LateStart, u64::from(event.number), 1);
            }
        } else {
            let next = u64::from(self.number) + 1;
            if u64::from(event.number) != next {
                find(Check::SequenceHole, u64::from(event.number), next);
            }
            if event.from != self.holder {
                find(Check::HandOverGap, event.from, self.holder);
            }
            if event.at < self.at {
                find(
                    Check::ClockReversal,
                    u64::from(event.at),
                    u64::from(self.at),
                );
            }
        }
        self.begun = true;
        self.number = event.number;
        self.at = event.at;
        self.holder = event.to;
        match event.kind {
            Kind::Other => {}
            Kind::Removed => self.removed = self.removed.max(event.at),
            Kind::Dispatched => self.dispatched = self.dispatched.max(event.at),
        }
    }

    /// What the whole chain shows.
    pub(super) fn end(&self, slot: u32, question: &EventsQuestion, found: &mut Vec<Found>) {
        let mut find = |check, is, wanted| {
            found.push(Found {
                check,
                slot,
                number: self.number,
                line: 0,
                is,
                wanted,
            });
        };
        if self.number != question.last_step {
            find(
                Check::OpenChain,
                u64::from(self.number),
                u64::from(question.last_step),
            );
        }
        let due = u64::from(self.removed) + u64::from(question.deadline_days) * DAY;
        if self.removed > 0 && self.dispatched > 0 && u64::from(self.dispatched) > due {
            find(Check::LateDispatch, u64::from(self.dispatched), due);
        }
    }
}
