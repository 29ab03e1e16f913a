//! Packagings of 49 CFR 173.185 for a fully regulated battery (text of December 2022,
//! read). Paragraphs are named where ADR would name a packing instruction.

use crate::transport::facts::PackageKind;
use crate::transport::instruction::{Group, Instruction, Items, Need, Outer};

const BOXES_AT_ANY_GROUP: &[&str] = &["4A", "4B", "4N", "4C1", "4C2", "4D", "4F", "4H2"];
const BOXES_AT_GROUP_II: &[&str] = &["4G", "4H1"];
const DRUMS_AT_ANY_GROUP: &[&str] = &["1A2", "1B2", "1N2", "1D", "1H2"];
const DRUMS_AT_GROUP_II: &[&str] = &["1G"];
const JERRICANS: &[&str] = &["3A2", "3B2", "3H2"];
const LARGE_STRICT: &[&str] = &["50A", "50B", "50N", "50H", "50D"];
const LARGE_AT_GROUP_II: &[&str] = &["50C", "50F", "50G"];

/// Sound, in a tested packaging.
pub(crate) static B3: Instruction = Instruction {
    name: "173.185(b)(3)",
    clause: "173.185(b)(3)",
    outer: Outer::Marked {
        codes: &[
            BOXES_AT_ANY_GROUP,
            BOXES_AT_GROUP_II,
            DRUMS_AT_ANY_GROUP,
            DRUMS_AT_GROUP_II,
            JERRICANS,
        ],
        group: Group::Y,
    },
    needs: &[
        Need::NonMetallicInner,
        Need::FullyEnclosed,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// Sound, heavy and in a strong casing.
pub(crate) static B5: Instruction = Instruction {
    name: "173.185(b)(5)",
    clause: "173.185(b)(5)",
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

/// One sound battery in a large packaging.
pub(crate) static B6: Instruction = Instruction {
    name: "173.185(b)(6)",
    clause: "173.185(b)(6)",
    outer: Outer::Marked {
        codes: &[LARGE_STRICT, LARGE_AT_GROUP_II],
        group: Group::Y,
    },
    items: Items::One,
    needs: &[
        Need::NonMetallicInner,
        Need::FullyEnclosed,
        Need::LinerInMetal,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// For disposal or recycling by motor vehicle; a tested packaging is a strong outer too.
pub(crate) static D: Instruction = Instruction {
    name: "173.185(d)",
    clause: "173.185(d)",
    outer: Outer::Unmarked(&[
        PackageKind::StrongOuter,
        PackageKind::UnPackaging,
        PackageKind::LargePackaging,
    ]),
    needs: &[
        Need::NonMetallicInner,
        Need::FullyEnclosed,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// Prototypes and small runs.
pub(crate) static E: Instruction = Instruction {
    name: "173.185(e)",
    clause: "173.185(e)",
    outer: Outer::Marked {
        codes: &[BOXES_AT_ANY_GROUP, DRUMS_AT_ANY_GROUP],
        group: Group::X,
    },
    items: Items::OneAbove(30_000),
    needs: &[
        Need::EachAlone,
        Need::NonMetallicInner,
        Need::NonCombustible,
        Need::NonConductive,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// One prototype in a large packaging.
pub(crate) static E4: Instruction = Instruction {
    name: "173.185(e)(4)",
    clause: "173.185(e)(4)",
    outer: Outer::Marked {
        codes: &[LARGE_STRICT],
        group: Group::X,
    },
    items: Items::One,
    needs: &[
        Need::EachAlone,
        Need::NonMetallicInner,
        Need::NonCombustible,
        Need::NonConductive,
        Need::LinerInMetal,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// Damaged, defective or recalled: one battery in one packaging. That it cannot move is in
/// 173.185(b)(2)(ii), which holds for every package.
pub(crate) static F3: Instruction = Instruction {
    name: "173.185(f)(3)",
    clause: "173.185(f)(1)-(3)",
    outer: Outer::Marked {
        codes: &[BOXES_AT_ANY_GROUP, DRUMS_AT_ANY_GROUP],
        group: Group::X,
    },
    items: Items::One,
    needs: &[
        Need::EachAlone,
        Need::NonMetallicInner,
        Need::FullyEnclosed,
        Need::NonCombustible,
        Need::NonConductive,
        Need::Absorbent,
        Need::ShortCircuitProtected,
        Need::Secured,
    ],
    ..Instruction::BLANK
};

/// The same in a large packaging.
pub(crate) static F3_LARGE: Instruction = Instruction {
    name: "173.185(f)(3)(iii)",
    clause: "173.185(f)(3)(iii)",
    outer: Outer::Marked {
        codes: &[LARGE_STRICT],
        group: Group::X,
    },
    items: Items::One,
    needs: F3.needs,
    ..Instruction::BLANK
};

/// Sound, beside its equipment.
pub(crate) static B3_EQUIPMENT: Instruction = Instruction {
    name: "173.185(b)(3)(iii)",
    clause: "173.185(b)(3)(iii)",
    ..B3
};

/// Sound, in its equipment.
pub(crate) static B4: Instruction = Instruction {
    name: "173.185(b)(4)",
    clause: "173.185(b)(4)",
    outer: Outer::Unmarked(&[
        PackageKind::StrongOuter,
        PackageKind::ProtectiveEnclosure,
        PackageKind::UnPackaging,
        PackageKind::LargePackaging,
    ]),
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// Sound, in equipment that protects it as well as a packaging.
pub(crate) static B4_UNPACKED: Instruction = Instruction {
    outer: Outer::Unmarked(&[
        PackageKind::None,
        PackageKind::OpenCrate,
        PackageKind::Pallet,
    ]),
    ..B4
};

/// Built into a transport unit: the unit is the package.
pub(crate) static SP389: Instruction = Instruction {
    name: "SP 389",
    clause: "172.102(c)(1), SP 389",
    outer: Outer::Unmarked(&[PackageKind::None]),
    needs: &[Need::ShortCircuitProtected, Need::Secured],
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// As the Associate Administrator has approved.
pub(crate) static AS_APPROVED: Instruction = Instruction {
    name: "173.185(h) approval",
    clause: "173.185(h)",
    outer: Outer::AsApproved,
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};

/// As a special permit says.
pub(crate) static SPECIAL_PERMIT: Instruction = Instruction {
    name: "special permit",
    clause: "107 subpart B",
    outer: Outer::AsApproved,
    may_exceed_400_kg: true,
    ..Instruction::BLANK
};
