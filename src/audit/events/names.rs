//! Names as numbers: a module gets a place when it is first seen, a long name of a party a code.

use std::collections::HashMap;
use std::sync::Arc;

use super::row::{Code, Event, number_of};

/// Low byte of the code of a long name.
const KEPT: u64 = 0xfe;
const NONE: u32 = u32::MAX;

/// The name of a module; whole numbers come before other names.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Name {
    Number(u32),
    Text(Arc<[u8]>),
}

impl Name {
    /// A name as it stands in a file: a plain whole number, as the rows know it, or any other.
    pub(super) fn read(text: &str) -> Self {
        number_of(text.as_bytes()).map_or_else(|| Self::Text(text.as_bytes().into()), Self::Number)
    }

    /// The name as it stands in the file.
    pub(super) fn text(&self) -> String {
        match self {
            Self::Number(number) => number.to_string(),
            Self::Text(name) => String::from_utf8_lossy(name).into_owned(),
        }
    }
}

/// Places of modules, in the order in which they are first seen.
#[derive(Debug, Default)]
pub(super) struct Places {
    /// Place by number; [`NONE`] where the number has not been seen.
    by_number: Vec<u32>,
    by_name: HashMap<Arc<[u8]>, u32>,
    names: Vec<(u32, Arc<[u8]>)>,
    given: u32,
}

impl Places {
    /// The place of the event's module; `true` where it is new.
    pub(super) fn place(&mut self, event: &Event, text: &[u8]) -> (u32, bool) {
        if event.module == Event::NAMED {
            return self.named(event.name(text));
        }
        // Numbers of one owner are all even or all odd.
        self.numbered(event.module >> 1)
    }

    fn numbered(&mut self, half: u32) -> (u32, bool) {
        let half = half as usize;
        if half >= self.by_number.len() {
            self.by_number.resize((half + 1).next_power_of_two(), NONE);
        }
        match self.by_number.get_mut(half) {
            Some(place) if *place != NONE => (*place, false),
            Some(place) => {
                *place = self.given;
                self.given += 1;
                (*place, true)
            }
            // The table has just been made long enough.
            None => (NONE, false),
        }
    }

    fn named(&mut self, name: &[u8]) -> (u32, bool) {
        if let Some(place) = self.by_name.get(name) {
            return (*place, false);
        }
        let place = self.given;
        self.given += 1;
        let name: Arc<[u8]> = name.into();
        self.names.push((place, Arc::clone(&name)));
        self.by_name.insert(name, place);
        (place, true)
    }

    /// The place of the event's module, if it has one.
    pub(super) fn find(&self, event: &Event, text: &[u8]) -> Option<u32> {
        if event.module == Event::NAMED {
            return self.by_name.get(event.name(text)).copied();
        }
        self.by_number
            .get(event.module as usize >> 1)
            .copied()
            .filter(|place| *place != NONE)
    }

    /// The names by place. `odd`: whether this owner has the odd numbers.
    pub(super) fn names(&self, odd: bool) -> Vec<Name> {
        let mut names = vec![Name::Number(0); self.given as usize];
        let mut put = |place: u32, name: Name| {
            if let Some(at) = names.get_mut(place as usize) {
                *at = name;
            }
        };
        for (half, place) in (0_u32..).zip(&self.by_number) {
            if *place != NONE {
                put(*place, Name::Number(half * 2 + u32::from(odd)));
            }
        }
        for (place, name) in &self.names {
            put(*place, Name::Text(Arc::clone(name)));
        }
        names
    }
}

/// Long names of parties.
#[derive(Debug, Default)]
pub(super) struct Parties {
    by_name: HashMap<Arc<[u8]>, u64>,
    names: Vec<Arc<[u8]>>,
}

impl Parties {
    /// The code that only this name has.
    pub(super) fn code(&mut self, code: Code, row: &[u8]) -> u64 {
        let Some((start, length)) = code.place() else {
            return code.0;
        };
        let name = row.get(start..start + length).unwrap_or_default();
        if let Some(code) = self.by_name.get(name) {
            return *code;
        }
        let kept = (self.names.len() as u64) << 8 | KEPT;
        let name: Arc<[u8]> = name.into();
        self.names.push(Arc::clone(&name));
        self.by_name.insert(name, kept);
        kept
    }

    /// The name behind a code.
    pub(super) fn name(&self, code: u64) -> String {
        if code & 0xff != KEPT {
            return Code(code).short();
        }
        usize::try_from(code >> 8)
            .ok()
            .and_then(|at| self.names.get(at))
            .map(|name| String::from_utf8_lossy(name).into_owned())
            .unwrap_or_default()
    }
}
