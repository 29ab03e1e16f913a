//! Figures that nothing at a dock can have: a slip of the pen is asked again, not entered.

use super::event::Reread;
use super::receipt::Scan;
use crate::citation::Reason;
use crate::units::Decimal;

/// What is measured at a dock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Figure {
    /// Kilograms of a package or a module.
    Mass,
    /// Degrees C of a surface.
    Surface,
    /// Degrees C of the air.
    Air,
    /// Cubic metres.
    Volume,
    /// Watt hours of one thing.
    Energy,
    /// Volts from pole to pole.
    Voltage,
    /// Volts of a cell.
    Cell,
}

impl Figure {
    /// Lowest and highest, with the words; whether the lowest itself is out.
    const fn bounds(self) -> (i32, i32, bool, &'static str) {
        match self {
            Self::Mass => (
                0,
                40_000,
                true,
                "above 0, at most 40000 kg: more than a lorry carries",
            ),
            Self::Surface => (-60, 1_500, false, "-60 to 1500 °C"),
            Self::Air => (-60, 60, false, "-60 to 60 °C"),
            Self::Volume => (
                0,
                100,
                true,
                "above 0, at most 100 m3: more than a container holds",
            ),
            Self::Energy => (0, 20_000_000, true, "above 0, at most 20000000 Wh"),
            Self::Voltage => (-1_500, 1_500, false, "at most 1500 V dc either way"),
            Self::Cell => (-5, 5, false, "at most 5 V either way"),
        }
    }
}

/// Why `value` cannot be what was measured.
pub(super) fn cannot_be(what: &str, figure: Figure, value: Option<Decimal>) -> Option<Reason> {
    let value = value?;
    let (least, most, least_is_out, words) = figure.bounds();
    let (least, most) = (Decimal::whole(least), Decimal::whole(most));
    let fits = value <= most && value >= least && !(least_is_out && value == least);
    (!fits).then(|| {
        Reason::new(what, value.to_string())
            .limit(words)
            .clause("no such figure (common practice, no source)")
            .way_out("read it again; nothing was taken from this line")
    })
}

/// What cannot be of one scan.
pub(super) fn of_scan(scan: &Scan) -> Vec<Reason> {
    let what = |name: &str| format!("{name} of {}", scan.subject);
    [
        ("gross_mass_kg", Figure::Mass, scan.gross_mass_kg),
        ("net_mass_kg", Figure::Mass, scan.net_mass_kg),
        ("temperature_c", Figure::Surface, scan.temperature_c),
        ("air_c", Figure::Air, scan.air_c),
        ("volume_m3", Figure::Volume, scan.volume_m3),
        ("rated_energy_wh", Figure::Energy, scan.rated_energy_wh),
    ]
    .into_iter()
    .filter_map(|(name, figure, value)| cannot_be(&what(name), figure, value))
    .collect()
}

/// What cannot be of a reading in the hold.
#[must_use]
pub fn no_such_reading(reading: &Reread) -> Vec<Reason> {
    [
        ("surface", Figure::Surface, reading.surface_temperature_c),
        ("air", Figure::Air, reading.ambient_temperature_c),
        ("twin", Figure::Surface, reading.twin_temperature_c),
        ("voltage", Figure::Voltage, reading.terminal_voltage_v),
        ("lowest cell", Figure::Cell, reading.lowest_cell_v),
    ]
    .into_iter()
    .filter_map(|(name, figure, value)| {
        let what = format!("{name} of {}", reading.identity);
        cannot_be(&what, figure, value)
    })
    .collect()
}
