//! Packing instructions for the air. Their pages were not read: what stands here follows an industry
//! handbook and the packagings that 49 CFR 173.185(b) names for the same flights.

use crate::transport::cfr49_packing::{B3, B4};
use crate::transport::instruction::{Instruction, Outer};

/// Most net mass in a package by cargo aircraft without an approval, in grams (49 CFR 172.101,
/// column 9B, read).
pub(crate) const CARGO_NET_GRAMS: i64 = 35_000;
/// Most net mass of batteries with or in equipment by passenger aircraft, in grams (49 CFR 172.101,
/// column 9A, read).
pub(crate) const PASSENGER_NET_GRAMS: i64 = 5_000;

/// Alone, above 100 Wh.
pub(crate) static PI965_IA: Instruction = Instruction {
    name: "PI 965 IA",
    clause: "PI 965, section IA",
    max_net_grams: Some(CARGO_NET_GRAMS),
    ..B3
};

/// Beside the equipment.
pub(crate) static PI966: Instruction = Instruction {
    name: "PI 966",
    clause: "PI 966, section I",
    max_net_grams: Some(CARGO_NET_GRAMS),
    ..B3
};

/// In the equipment.
pub(crate) static PI967: Instruction = Instruction {
    name: "PI 967",
    clause: "PI 967, section I",
    max_net_grams: Some(CARGO_NET_GRAMS),
    ..B4
};

/// Above 35 kg, as approved.
pub(crate) static PI974: Instruction = Instruction {
    name: "PI 974",
    clause: "special provision A99",
    outer: Outer::AsApproved,
    ..Instruction::BLANK
};

/// Prototypes, as approved.
pub(crate) static PI910: Instruction = Instruction {
    name: "PI 910",
    clause: "special provision A88",
    outer: Outer::AsApproved,
    ..Instruction::BLANK
};

/// Above 30 % state of charge, as both states approved.
pub(crate) static A331: Instruction = Instruction {
    name: "A331 approval",
    clause: "special provision A331",
    outer: Outer::AsApproved,
    ..Instruction::BLANK
};
