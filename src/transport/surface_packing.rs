//! Packing instructions for lithium and sodium ion batteries on road, rail and sea (ADR/RID 2025,
//! 4.1.4, read in an unofficial translation: numbers and codes, not wording).

use crate::transport::facts::PackageKind;
use crate::transport::instruction::{Group, Instruction, Items, Need, Outer};

const DRUMS: &[&str] = &["1A2", "1B2", "1N2", "1H2", "1D", "1G"];
const BOXES_WITHOUT_4H1: &[&str] = &["4A", "4B", "4N", "4C1", "4C2", "4D", "4F", "4G", "4H2"];
const EXPANDED_PLASTICS_BOX: &[&str] = &["4H1"];
const JERRICANS: &[&str] = &["3A2", "3B2", "3H2"];
const LARGE_STRICT: &[&str] = &["50A", "50B", "50N", "50H", "50D"];
const LARGE_RIGID_FIBREBOARD: &[&str] = &["50G"];
const LARGE_OTHER_WOOD: &[&str] = &["50C", "50F"];

const ANY_SMALL: &[&[&str]] = &[DRUMS, BOXES_WITHOUT_4H1, EXPANDED_PLASTICS_BOX, JERRICANS];
const ANY_LARGE: &[&[&str]] = &[LARGE_STRICT, LARGE_RIGID_FIBREBOARD, LARGE_OTHER_WOOD];

/// Sound, in a tested packaging.
pub(crate) static P903_1: Instruction = Instruction {
    name: "P903(1)",
    clause: "4.1.4.1 P903(1)",
    outer: Outer::Marked {
        codes: ANY_SMALL,
        group: Group::Y,
    },
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    ..Instruction::BLANK
};

/// Sound, heavy and in a strong casing.
pub(crate) static P903_2: Instruction = Instruction {
    name: "P903(2)",
    clause: "4.1.4.1 P903(2)",
    outer: Outer::Unmarked(&[
        PackageKind::StrongOuter,
        PackageKind::ProtectiveEnclosure,
        PackageKind::OpenCrate,
        PackageKind::Pallet,
    ]),
    needs: &[
        Need::ShortCircuitProtected,
        Need::Secured,
        Need::NoLoadOnTerminals,
    ],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// Sound, in a large packaging.
pub(crate) static LP903: Instruction = Instruction {
    name: "LP903",
    clause: "4.1.4.3 LP903",
    outer: Outer::Marked {
        codes: ANY_LARGE,
        group: Group::Y,
    },
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    ..Instruction::BLANK
};

/// Damaged, not critical. That nothing moves inside stands in its paragraph on vibration and shocks
/// (an industry handbook of 2023 and, for P910, the German text of ADR 2023, both read).
pub(crate) static P908: Instruction = Instruction {
    name: "P908",
    clause: "4.1.4.1 P908",
    outer: Outer::Marked {
        codes: ANY_SMALL,
        group: Group::Y,
    },
    items: Items::OneAbove(30_000),
    needs: &[
        Need::EachAlone,
        Need::FullyEnclosed,
        Need::Leakproof,
        Need::NonCombustible,
        Need::NonConductive,
        Need::ThermalInsulation,
        Need::AbsorbentIfLeaking,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// One damaged battery in a large packaging.
pub(crate) static LP904: Instruction = Instruction {
    name: "LP904",
    clause: "4.1.4.3 LP904",
    outer: Outer::Marked {
        codes: &[LARGE_STRICT],
        group: Group::Y,
    },
    items: Items::One,
    needs: P908.needs,
    ..Instruction::BLANK
};

/// For disposal or recycling, in a tested packaging. The box of expanded plastics is left out: two
/// of three readings leave it out, and that is the stricter one.
pub(crate) static P909_1: Instruction = Instruction {
    name: "P909(1)",
    clause: "4.1.4.1 P909(1)",
    outer: Outer::Marked {
        codes: &[DRUMS, BOXES_WITHOUT_4H1, JERRICANS],
        group: Group::Y,
    },
    needs: &[
        Need::LinerInMetal,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// For disposal or recycling, heavy and in a strong casing: strong outer only, never a pallet.
pub(crate) static P909_4: Instruction = Instruction {
    name: "P909(4)",
    clause: "4.1.4.1 P909(4)",
    outer: Outer::Unmarked(&[PackageKind::StrongOuter]),
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// Prototypes and small runs: heat held back and nothing moving, (1)(c) and (d).
pub(crate) static P910_1: Instruction = Instruction {
    name: "P910(1)",
    clause: "4.1.4.1 P910(1)",
    outer: Outer::Marked {
        codes: ANY_SMALL,
        group: Group::Y,
    },
    items: Items::OneAbove(30_000),
    needs: &[
        Need::EachAlone,
        Need::FullyEnclosed,
        Need::NonCombustible,
        Need::NonConductive,
        Need::ThermalInsulation,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// One prototype in a large packaging.
pub(crate) static LP905: Instruction = Instruction {
    name: "LP905",
    clause: "4.1.4.3 LP905",
    outer: Outer::Marked {
        codes: ANY_LARGE,
        group: Group::Y,
    },
    items: Items::One,
    needs: P910_1.needs,
    ..Instruction::BLANK
};

/// Critical, in a verified package.
pub(crate) static P911: Instruction = Instruction {
    name: "P911",
    clause: "4.1.4.1 P911",
    outer: Outer::Marked {
        codes: ANY_SMALL,
        group: Group::X,
    },
    items: Items::AsVerified,
    needs: &[Need::ShortCircuitProtected],
    verified: true,
    ..Instruction::BLANK
};

/// Critical, in a verified large packaging.
pub(crate) static LP906: Instruction = Instruction {
    name: "LP906",
    clause: "4.1.4.3 LP906",
    outer: Outer::Marked {
        codes: &[LARGE_STRICT, LARGE_RIGID_FIBREBOARD],
        group: Group::X,
    },
    items: Items::AsVerified,
    needs: &[Need::ShortCircuitProtected],
    verified: true,
    ..Instruction::BLANK
};

/// Critical, in other conditions that an authority approved.
pub(crate) static AS_APPROVED: Instruction = Instruction {
    name: "SP 376 approval",
    clause: "3.3 SP 376",
    outer: Outer::AsApproved,
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// Sound, beside its equipment.
pub(crate) static P903_3: Instruction = Instruction {
    name: "P903(3)",
    clause: "4.1.4.1 P903(3)",
    outer: P903_1.outer,
    needs: P903_1.needs,
    ..Instruction::BLANK
};

/// Sound, in its equipment.
pub(crate) static P903_4: Instruction = Instruction {
    name: "P903(4)",
    clause: "4.1.4.1 P903(4)",
    outer: Outer::Unmarked(STRONG),
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// Sound, in equipment that protects it as well as a packaging.
pub(crate) static P903_4_UNPACKED: Instruction = Instruction {
    outer: Outer::Unmarked(UNPACKED),
    ..P903_4
};

/// For disposal or recycling, in its equipment.
pub(crate) static P909_3: Instruction = Instruction {
    name: "P909(3)",
    clause: "4.1.4.1 P909(3)",
    ..P903_4
};

/// For disposal or recycling, in equipment that protects it as well as a packaging.
pub(crate) static P909_3_UNPACKED: Instruction = Instruction {
    outer: Outer::Unmarked(UNPACKED),
    ..P909_3
};

/// Built into a transport unit: the unit is the package.
pub(crate) static SP389: Instruction = Instruction {
    name: "SP 389",
    clause: "3.3 SP 389",
    outer: Outer::Unmarked(&[PackageKind::None]),
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

const STRONG: &[PackageKind] = &[
    PackageKind::StrongOuter,
    PackageKind::ProtectiveEnclosure,
    PackageKind::UnPackaging,
    PackageKind::LargePackaging,
];
const UNPACKED: &[PackageKind] = &[
    PackageKind::None,
    PackageKind::OpenCrate,
    PackageKind::Pallet,
];
