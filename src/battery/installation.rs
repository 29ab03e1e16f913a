//! The store as it stands on site, with every source that can feed the work area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::battery::{Anode, Cathode, Chemistry, LiftPlace};
use crate::units::{
    MilliPercent, MilliampereHours, Milliohms, Millivolts, MilliwattHours, Nanofarads,
};

/// How the store is built; decides the procedure.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Variant {
    /// Modules in a stack under a control unit, coupled on the ac side.
    AcCoupledStack,
    /// DC-coupled or hybrid inverter with photovoltaic strings.
    DcCoupledHybrid,
    /// Rack or cabinet.
    Rack,
    /// Any store after fire, flood, impact or swelling.
    DamagedPack,
}

/// What can feed the work area.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SourceKind {
    /// Auxiliary supply.
    AuxiliarySupply,
    /// Backed-up bus behind a battery inverter.
    BackupBus,
    /// Supply of the fire system.
    FireSystemSupply,
    /// Generator.
    Generator,
    /// Public network.
    Grid,
    /// Another battery pack or rack.
    OtherPack,
    /// The battery pack that is to be removed.
    Pack,
    /// Photovoltaic string.
    PvString,
    /// Vehicle that can feed back.
    Vehicle,
}

impl SourceKind {
    /// Every kind; each needs an explicit yes or no on site.
    pub const ALL: [Self; 9] = [
        Self::AuxiliarySupply,
        Self::BackupBus,
        Self::FireSystemSupply,
        Self::Generator,
        Self::Grid,
        Self::OtherPack,
        Self::Pack,
        Self::PvString,
        Self::Vehicle,
    ];

    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::AuxiliarySupply => "auxiliary_supply",
            Self::BackupBus => "backup_bus",
            Self::FireSystemSupply => "fire_system_supply",
            Self::Generator => "generator",
            Self::Grid => "grid",
            Self::OtherPack => "other_pack",
            Self::Pack => "pack",
            Self::PvString => "pv_string",
            Self::Vehicle => "vehicle",
        }
    }
}

/// Alternating or direct.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Supply {
    /// Alternating.
    Ac,
    /// Direct.
    Dc,
}

/// One source that can feed the work area.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Name in the record.
    pub id: String,
    /// What it is.
    pub kind: SourceKind,
    /// Alternating or direct.
    pub supply: Supply,
    /// Nominal voltage; the highest one where it varies.
    pub nominal_voltage_v: Millivolts,
    /// The device that separates it, by id.
    pub isolating_device: String,
}

/// A device that separates a source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IsolatingDevice {
    /// Name in the record.
    pub id: String,
    /// What it is and where.
    pub description: String,
    /// Whether a lock can be put on.
    pub lockable: bool,
    /// Whether it may be opened on load.
    #[serde(default)]
    pub load_break: bool,
    /// Whether the break can be seen.
    #[serde(default)]
    pub break_visible: bool,
}

/// The capacitors that stay charged after switch-off, where the maker says them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Capacitors {
    /// Capacitance.
    pub capacitance_uf: Nanofarads,
    /// Resistance that discharges it.
    pub bleed_resistance_ohm: Milliohms,
    /// Highest voltage before switch-off.
    pub from_v: Millivolts,
    /// Upper tolerance of the capacitance.
    #[serde(default)]
    pub capacitance_tolerance_percent: MilliPercent,
    /// Upper tolerance of the resistance.
    #[serde(default)]
    pub resistance_tolerance_percent: MilliPercent,
}

/// The store as it stands on site.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Installation {
    /// What the site calls it.
    pub name: String,
    /// How it is built.
    pub variant: Variant,
    /// Chemistry on the plate.
    #[serde(default)]
    pub chemistry: Chemistry,
    /// Positive electrode, where known.
    #[serde(default)]
    pub cathode: Cathode,
    /// Negative electrode; carbon where it is absent. `titanate` for LTO cells.
    #[serde(default, skip_serializing_if = "Anode::is_usual")]
    pub anode: Anode,
    /// Nominal voltage of the pack or string.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nominal_voltage_v: Option<Millivolts>,
    /// Highest voltage of the pack or string.
    pub max_voltage_v: Millivolts,
    /// Rated capacity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_capacity_ah: Option<MilliampereHours>,
    /// Rated energy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<MilliwattHours>,
    /// Strings in parallel.
    pub strings: u32,
    /// Phases of the ac side, 1 or 3; 0 where there is none.
    #[serde(default = "single_phase")]
    pub ac_phases: u8,
    /// Whether the job isolates one circuit of a household only.
    #[serde(default)]
    pub one_household_circuit: bool,
    /// Every source that can feed the work area.
    pub sources: Vec<Source>,
    /// Every device that separates one of them.
    pub isolating_devices: Vec<IsolatingDevice>,
    /// Waiting time on the label; absent where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stored_energy_label_s: Option<u32>,
    /// Capacitors, where the maker says them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacitors: Option<Capacitors>,
    /// The maker's own order of isolation, where one is on the job; only then may the order of
    /// isolating devices differ.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker_isolation_document: Option<String>,
    /// The maker's own table of rested cell voltages: CSV text with the columns `soc` (0 to 1) and
    /// `ocv_v`, rising strictly. Without it the published curves of the chemistry are used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell_curve_csv: Option<String>,
    /// How modules are lifted here; a usual posture is assumed where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lifting: Option<LiftPlace>,
}

impl Installation {
    /// The isolating device of that id; ids are unique in a plan.
    #[must_use]
    pub fn isolating_device(&self, id: &str) -> Option<&IsolatingDevice> {
        self.isolating_devices.iter().find(|device| device.id == id)
    }

    /// The pairs of conductors whose absence of voltage has to be shown at the place of work, each
    /// with its supply, by the sources of the plan.
    #[must_use]
    pub fn pairs_to_prove(&self) -> Vec<(&'static str, &'static str)> {
        const SINGLE: [&str; 3] = ["L-N", "L-PE", "N-PE"];
        const THREE: [&str; 10] = [
            "L1-L2", "L1-L3", "L2-L3", "L1-N", "L2-N", "L3-N", "L1-PE", "L2-PE", "L3-PE", "N-PE",
        ];
        const DC: [&str; 3] = ["DC+/DC-", "DC+/PE", "DC-/PE"];
        let has = |supply| self.sources.iter().any(|source| source.supply == supply);
        let mut pairs = Vec::new();
        if has(Supply::Ac) {
            let ac: &[&'static str] = if self.ac_phases == 3 { &THREE } else { &SINGLE };
            pairs.extend(ac.iter().map(|pair| (*pair, "ac")));
        }
        if has(Supply::Dc) {
            pairs.extend(DC.map(|pair| (pair, "dc")));
        }
        pairs
    }
}

fn single_phase() -> u8 {
    1
}
