//! Open-circuit voltage of one cell against state of charge, and the way back from a voltage.
//!
//! Twelve tables of 101 rows at 25 °C, computed from published cell parameters; each names its
//! source in `reference/ocv_*.csv`. Linear between rows, clamped at the ends. Aged cells, which
//! shift, are not covered; state of charge is of *present* capacity.

use std::borrow::Cow;
use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::DomainError;
use crate::table;

/// Which group of curves a cell belongs to.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum CellKind {
    /// Lithium iron phosphate.
    Lfp,
    /// Lithium nickel manganese cobalt oxide.
    Nmc,
    /// Lithium nickel cobalt aluminium oxide.
    Nca,
    /// Lithium nickel cobalt oxide.
    Nco,
    /// Lithium cobalt oxide.
    Lco,
    /// Sodium ion.
    SodiumIon,
    /// Lithium titanate negative.
    Lto,
    /// Not known.
    #[default]
    Unknown,
}

impl CellKind {
    /// The nominal voltage of a cell that makers print, volts, with room for rounding to whole volts
    /// of a module: 3.2, 3.6 to 3.7, 2.3 to 2.4, 3.0 to 3.7 (from memory, unverified; so it may only
    /// make a voltage count for nothing).
    pub(super) const fn nominal_v(self) -> Option<(f64, f64)> {
        match self {
            Self::Lfp => Some((3.0, 3.35)),
            Self::Nmc | Self::Nca | Self::Nco | Self::Lco => Some((3.5, 3.85)),
            Self::Lto => Some((2.2, 2.5)),
            Self::SodiumIon => Some((2.9, 3.8)),
            Self::Unknown => None,
        }
    }

    /// Whether no published curve is good enough for this kind, so that a voltage says nothing of the
    /// charge without the maker's own table.
    pub(super) const fn needs_makers_curve(self) -> bool {
        matches!(self, Self::SodiumIon | Self::Lto)
    }

    /// Why a nominal voltage of so many cells is not one of this kind; `None` where it is, or where
    /// nothing is known.
    pub(super) fn nominal_fault(self, nominal_v: f64, cells: u32) -> Option<String> {
        let (least, most) = self.nominal_v()?;
        let each = nominal_v / f64::from(cells.max(1));
        let fits = each >= least - 1e-9 && each <= most + 1e-9;
        (!fits).then(|| {
            format!(
                "{nominal_v} V nominal over {cells} cells is {each:.2} V a cell, and cells of this \
                 chemistry have {least} to {most} V (from memory): chemistry or number of cells is \
                 wrong"
            )
        })
    }
}

/// A strictly rising table.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    name: Cow<'static, str>,
    /// (state of charge 0 to 1, volts a cell), both strictly rising.
    points: Vec<(f64, f64)>,
    /// For each step of the voltage from the lowest to the highest, a row near it; none for a table
    /// that is read once.
    near: Vec<usize>,
}

/// Steps of the voltage of a published table: a few millivolts each.
const STEPS: usize = 512;

/// Names of the curves in play.
pub(super) type CurveNames = Cow<'static, [Cow<'static, str>]>;

#[derive(Deserialize)]
struct Row {
    soc: f64,
    ocv_v: f64,
}

impl Curve {
    /// A table of (state of charge 0 to 1, volts a cell).
    ///
    /// # Errors
    /// Fewer than two rows, a table that does not run from 0 to 1, or one that does not rise
    /// strictly: an open-circuit voltage that falls as charge goes in is no rested cell.
    pub fn new(name: &str, points: Vec<(f64, f64)>) -> Result<Self, DomainError> {
        let refuse = |what: &str| {
            DomainError::new(
                format!("curve {name}"),
                what,
                "a table from soc 0 to 1 whose voltage rises strictly from 0.5 to 5 V",
            )
        };
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return Err(refuse("empty"));
        };
        if points.len() < 2 || first.0.abs() > 1e-9 || (last.0 - 1.0).abs() > 1e-9 {
            return Err(refuse("not from 0 to 1"));
        }
        if !points.iter().all(|(_, v)| (0.5..=5.0).contains(v)) {
            return Err(refuse("a voltage outside 0.5 to 5 V"));
        }
        for (a, b) in points.iter().zip(points.iter().skip(1)) {
            // Written so that a value that is not a number is refused too.
            let rises = b.0 > a.0 && b.1 > a.1;
            if !rises {
                return Err(refuse(&format!("not rising at soc {}", b.0)));
            }
        }
        Ok(Self {
            name: name.to_owned().into(),
            points,
            near: Vec::new(),
        })
    }

    /// The same, made for many questions.
    fn often(mut self) -> Self {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return self;
        };
        let step = (last.1 - first.1) / STEPS as f64;
        self.near = (0..=STEPS)
            .map(|n| first.1 + step * n as f64)
            .map(|volts| self.points.partition_point(|p| p.1 <= volts))
            .collect();
        self
    }

    /// How many rows have at most `volts`.
    fn rows_up_to(&self, volts: f64) -> usize {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return 0;
        };
        // The cast saturates: below the table it is the first step.
        let step = ((volts - first.1) / (last.1 - first.1) * STEPS as f64) as usize;
        match self.near.get(step.min(STEPS)) {
            Some(near) => self.first_above(*near, |p| p.1 <= volts),
            None => self.points.partition_point(|p| p.1 <= volts),
        }
    }

    /// How many rows have at most the state of charge `soc`; rows are mostly as far apart as each
    /// other.
    fn rows_to(&self, soc: f64) -> usize {
        // The cast saturates.
        let near = (soc * (self.points.len() - 1) as f64) as usize;
        self.first_above(near.min(self.points.len()), |p| p.0 <= soc)
    }

    /// The first row that is not `at_most`, sought from the one `near` it.
    fn first_above(&self, near: usize, at_most: impl Fn(&(f64, f64)) -> bool) -> usize {
        let at_most = |row: usize| self.points.get(row).is_some_and(&at_most);
        let mut after = near;
        while after > 0 && !at_most(after - 1) {
            after -= 1;
        }
        while at_most(after) {
            after += 1;
        }
        after
    }

    /// A table as CSV with the columns `soc` (0 to 1) and `ocv_v`.
    ///
    /// # Errors
    /// As [`Curve::new`], and text that is not such a table.
    pub fn from_csv(name: &str, text: &str) -> Result<Self, DomainError> {
        let rows: Vec<Row> = table::rows("curve", text).map_err(|error| {
            DomainError::new(
                format!("curve {name}"),
                error.what,
                "CSV with the columns soc and ocv_v",
            )
        })?;
        Self::new(name, rows.iter().map(|row| (row.soc, row.ocv_v)).collect())
    }

    /// Its name.
    #[must_use]
    pub const fn name(&self) -> &Cow<'static, str> {
        &self.name
    }

    /// Lowest and highest volts a cell of the table.
    pub(super) fn ends(&self) -> (f64, f64) {
        (self.voltage(0.0), self.voltage(1.0))
    }

    /// Volts a cell at a state of charge of 0 to 1.
    #[must_use]
    pub fn voltage(&self, soc: f64) -> f64 {
        let after = self.rows_to(soc);
        interpolate(&self.points, after, soc, |p| p.0, |p| p.1)
    }

    /// Whole millivolts at a whole per cent of charge, for a drawing.
    #[must_use]
    pub fn millivolts(&self, percent: u8) -> i64 {
        // A cell has less than 10 V, so nothing is lost.
        (self.voltage(f64::from(percent) / 100.0) * 1_000.0).round() as i64
    }

    /// State of charge, 0 to 1, at which a rested cell has `volts`; clamped at the ends.
    #[must_use]
    pub fn state_of_charge(&self, volts: f64) -> f64 {
        let after = self.rows_up_to(volts);
        interpolate(&self.points, after, volts, |p| p.1, |p| p.0)
    }

    /// Slope in volts per unit of state of charge at a state of charge of 0 to 1.
    #[must_use]
    pub fn slope(&self, soc: f64) -> f64 {
        let soc = soc.clamp(0.0, 1.0);
        let after = self.points.partition_point(|p| p.0 <= soc);
        let upper = after.clamp(1, self.points.len() - 1);
        match (self.points.get(upper - 1), self.points.get(upper)) {
            (Some(a), Some(b)) => (b.1 - a.1) / (b.0 - a.0),
            _ => 0.0,
        }
    }

    /// Share of the energy that lies below a state of charge of 0 to 1 (trapezium rule).
    #[must_use]
    pub fn energy_share_below(&self, soc: f64) -> f64 {
        let soc = soc.clamp(0.0, 1.0);
        let (mut below, mut whole) = (0.0, 0.0);
        for (a, b) in self.points.iter().zip(self.points.iter().skip(1)) {
            whole += (b.0 - a.0) * (a.1 + b.1) / 2.0;
            let end = b.0.min(soc);
            if end > a.0 {
                below += (end - a.0) * (a.1 + self.voltage(end)) / 2.0;
            }
        }
        below / whole
    }
}

/// Between the rows before and at `after`, the first whose `from` lies above `x`.
fn interpolate(
    points: &[(f64, f64)],
    after: usize,
    x: f64,
    from: impl Fn(&(f64, f64)) -> f64,
    to: impl Fn(&(f64, f64)) -> f64,
) -> f64 {
    let before = after.checked_sub(1).and_then(|n| points.get(n));
    match (before, points.get(after)) {
        (Some(a), Some(b)) => to(a) + (to(b) - to(a)) * ((x - from(a)) / (from(b) - from(a))),
        (Some(a), None) => to(a),
        (None, Some(b)) => to(b),
        (None, None) => 0.0,
    }
}

macro_rules! shipped {
    ($($kind:ident $name:literal),* $(,)?) => {
        [$((CellKind::$kind, $name, include_str!(concat!("../reference/ocv_", $name, ".csv")))),*]
    };
}

const SHIPPED: [(CellKind, &str, &str); 12] = shipped![
    Lfp "lfp_prada2013",
    Lfp "lfp_bpx2022",
    Nmc "nmc_chen2020",
    Nmc "nmc_oregan2022",
    Nmc "nmc_mohtat2020",
    Nmc "nmc_bpx2022",
    Nca "nca_kim2011",
    Nco "nco_ecker2015",
    Lco "lco_ai2020",
    Lco "lco_marquis2019",
    SodiumIon "naion_chayambuka2022",
    Lto "lto_constructed",
];

/// Each is read when it is first asked for: a job has one kind of cell.
static CURVES: [OnceLock<Option<Curve>>; SHIPPED.len()] =
    [const { OnceLock::new() }; SHIPPED.len()];

fn shipped(place: usize) -> Option<&'static Curve> {
    let (_, name, text) = SHIPPED.get(place)?;
    let read = || {
        let mut curve = Curve::from_csv(name, text).ok()?.often();
        curve.name = Cow::Borrowed(name);
        Some(curve)
    };
    CURVES.get(place)?.get_or_init(read).as_ref()
}

/// The published curves of one kind of cell, and their names.
struct Group {
    curves: Vec<&'static Curve>,
    names: Vec<Cow<'static, str>>,
}

impl Group {
    fn of(kind: CellKind) -> Self {
        let places = (0..SHIPPED.len()).zip(&SHIPPED);
        let curves: Vec<_> = places
            .filter(|(_, (of, ..))| *of == kind)
            .filter_map(|(place, _)| shipped(place))
            .collect();
        Self {
            names: curves.iter().map(|curve| curve.name.clone()).collect(),
            curves,
        }
    }
}

/// By the place of the first curve of the kind.
static GROUPS: [OnceLock<Group>; SHIPPED.len()] = [const { OnceLock::new() }; SHIPPED.len()];

/// The published curves of a kind of cell with their names; none for an unknown one.
pub(super) fn group_of(
    kind: CellKind,
) -> (&'static [&'static Curve], &'static [Cow<'static, str>]) {
    let first = SHIPPED.iter().position(|(of, ..)| *of == kind);
    let Some(group) = first.and_then(|place| GROUPS.get(place)) else {
        return (&[], &[]);
    };
    let group = group.get_or_init(|| Group::of(kind));
    (&group.curves, &group.names)
}

/// The published curves of a kind of cell; none for an unknown one.
#[must_use]
pub fn published(kind: CellKind) -> &'static [&'static Curve] {
    group_of(kind).0
}

/// The published curve of that name.
#[must_use]
pub fn published_named(name: &str) -> Option<&'static Curve> {
    let place = SHIPPED.iter().position(|(_, of, _)| *of == name)?;
    shipped(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_table_is_read() {
        let read: Vec<_> = (0..SHIPPED.len()).filter_map(shipped).collect();
        assert_eq!(read.len(), SHIPPED.len());
        assert!(read.iter().all(|curve| curve.points.len() == 101));
    }

    #[test]
    fn the_quick_way_to_a_row_is_the_plain_one() {
        for curve in (0..SHIPPED.len()).filter_map(shipped) {
            let seek = |volts: f64| {
                let plain = curve.points.partition_point(|p| p.1 <= volts);
                assert_eq!(curve.rows_up_to(volts), plain, "{} at {volts}", curve.name);
                let plain = curve.points.partition_point(|p| p.0 <= volts);
                assert_eq!(curve.rows_to(volts), plain, "{} at {volts}", curve.name);
            };
            for volts in curve.points.iter().flat_map(|(soc, volts)| [soc, volts]) {
                seek(*volts);
                seek(volts.next_up());
                seek(volts.next_down());
            }
            (0..60_000).for_each(|n| seek(f64::from(n) / 10_000.0));
            [f64::NEG_INFINITY, -1.0, 0.0, 1e300, f64::INFINITY]
                .into_iter()
                .for_each(seek);
        }
    }

    #[test]
    fn a_falling_table_is_refused() {
        for table in [
            "soc,ocv_v\n0,3.0\n0.5,2.9\n1,3.4\n",
            "soc,ocv_v\n0,3.0\n0.5,3.0\n1,3.4\n",
            "soc,ocv_v\n0,NaN\n1,3.4\n",
            "soc,ocv_v\n0,3.0\n",
            "a,b\n1,2\n",
        ] {
            assert!(Curve::from_csv("own", table).is_err(), "{table}");
        }
    }
}
