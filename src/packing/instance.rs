//! A bare packing question: limits of one package, and items that each need some of every limit.
//!
//! Whole numbers only, in whatever unit the asker chose (tenths of a kilogram, watt-hours, ...).

use serde::de::{Deserializer, Error as _, SeqAccess, Visitor};
use serde::{Deserialize, Serialize, Serializer};

use super::PackingError;

/// Largest number in an instance, so that sums stay exact.
pub const LARGEST: u64 = 1 << 60;

/// Most items in an instance.
pub const MOST_ITEMS: usize = 10_000_000;

/// Limits of one package, and the items to pack.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Instance {
    /// What the asker calls it.
    #[serde(default)]
    pub name: String,
    /// What one package takes, one number for each limit.
    pub cap: Vec<u64>,
    items: Rows,
}

/// Rows of equal width, end to end: a million small vectors would cost more than the packing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Rows {
    count: usize,
    width: usize,
    /// First row of another width, and that width.
    other: Option<(usize, usize)>,
    flat: Vec<u64>,
}

impl Instance {
    /// An instance from rows of sizes.
    ///
    /// # Errors
    /// As [`Instance::fit_to_pack`].
    pub fn new(
        name: impl Into<String>,
        cap: Vec<u64>,
        items: &[Vec<u64>],
    ) -> Result<Self, PackingError> {
        let mut rows = Rows::default();
        for item in items {
            rows.begin(item.len());
            rows.flat.extend(item);
        }
        Self {
            name: name.into(),
            cap,
            items: rows,
        }
        .fit_to_pack()
    }

    /// An instance from sizes end to end: as many numbers an item as there are limits.
    ///
    /// # Errors
    /// As [`Instance::fit_to_pack`].
    pub fn from_flat(
        name: impl Into<String>,
        cap: Vec<u64>,
        flat: Vec<u64>,
    ) -> Result<Self, PackingError> {
        let width = cap.len();
        let count = flat.len().checked_div(width).unwrap_or(0);
        let items = Rows {
            count,
            width,
            other: None,
            flat,
        };
        Self {
            name: name.into(),
            cap,
            items,
        }
        .fit_to_pack()
    }

    /// How many items there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.items.count
    }

    /// Whether there is nothing to pack.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.items.count == 0
    }

    /// The sizes of every item, in the order given.
    pub fn items(&self) -> impl Iterator<Item = &[u64]> {
        self.items.flat.chunks_exact(self.cap.len().max(1))
    }

    /// The instance, where each item has a size for each limit, the numbers can be summed exactly,
    /// and each item fits into an empty package.
    ///
    /// # Errors
    /// The first item or number that does not.
    pub fn fit_to_pack(self) -> Result<Self, PackingError> {
        let limits = self.cap.len();
        if limits == 0 {
            return Err(PackingError::NoLimits(self.name));
        }
        let first =
            (self.items.count > 0 && self.items.width != limits).then_some((0, self.items.width));
        if let Some((item, sizes)) = first.or(self.items.other) {
            return Err(PackingError::OtherWidth {
                name: self.name,
                item,
                sizes,
                limits,
            });
        }
        if self.items.count > MOST_ITEMS {
            return Err(PackingError::TooMany {
                items: self.items.count,
                name: self.name,
                limit: MOST_ITEMS,
            });
        }
        if let Some(&value) = self.cap.iter().find(|cap| **cap > LARGEST) {
            return Err(PackingError::TooLarge {
                name: self.name,
                value,
                limit: LARGEST,
            });
        }
        let misfit = self.items().enumerate().find_map(|(item, sizes)| {
            sizes
                .iter()
                .zip(&self.cap)
                .position(|(size, cap)| size > cap)
                .and_then(|limit| Some((item, limit, *sizes.get(limit)?, *self.cap.get(limit)?)))
        });
        if let Some((item, limit, size, cap)) = misfit {
            return Err(PackingError::FitsNowhere {
                name: self.name,
                item,
                limit,
                size,
                cap,
            });
        }
        Ok(self)
    }
}

/// The instances of a text: one object, or one a line.
///
/// # Errors
/// The first that cannot be read or packed, with its line.
pub fn instances(text: &str) -> Result<Vec<Instance>, PackingError> {
    super::plan::each_of(text)?
        .into_iter()
        .map(Instance::fit_to_pack)
        .collect()
}

impl Rows {
    fn begin(&mut self, width: usize) {
        if self.count == 0 {
            self.width = width;
        } else if self.width != width && self.other.is_none() {
            self.other = Some((self.count, width));
        }
        self.count += 1;
    }
}

impl<'de> Deserialize<'de> for Rows {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Outer;
        impl<'de> Visitor<'de> for Outer {
            type Value = Rows;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a list of items, each a list of whole numbers")
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Rows, A::Error> {
                let mut rows = Rows::default();
                while seq.next_element_seed(Row(&mut rows))?.is_some() {
                    if rows.count > MOST_ITEMS {
                        return Err(A::Error::custom(format!("more than {MOST_ITEMS} items")));
                    }
                }
                Ok(rows)
            }
        }
        deserializer.deserialize_seq(Outer)
    }
}

/// Reads one item onto the end of the rows.
struct Row<'a>(&'a mut Rows);

impl<'de> serde::de::DeserializeSeed<'de> for Row<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Row<'_> {
    type Value = ();
    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("an item: a list of whole numbers")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<(), A::Error> {
        let before = self.0.flat.len();
        while let Some(size) = seq.next_element::<u64>()? {
            self.0.flat.push(size);
        }
        let width = self.0.flat.len() - before;
        self.0.begin(width);
        Ok(())
    }
}

impl Serialize for Rows {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.flat.chunks_exact(self.width.max(1)))
    }
}
