//! The form of a packing instruction: which outer packagings, how good, how many batteries, and
//! what must be true inside. The instructions themselves stand beside the rows that name them.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::transport::facts::PackageKind;
use crate::units::Decimal;

/// Outer packagings an instruction allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outer {
    /// Whatever the approval in hand says; nobody but its reader can check that.
    AsApproved,
    /// Packagings with a UN mark of one of these codes, good for this group.
    Marked {
        /// Codes without the letters T, V and W.
        codes: &'static [&'static [&'static str]],
        /// The weakest letter that is enough.
        group: Group,
    },
    /// These kinds, without a UN mark being needed.
    Unmarked(&'static [PackageKind]),
}

/// The letter of a UN mark: the packing groups that the packaging was tested for.
///
/// INVARIANT: in order of strength, so that the greater is good for the smaller.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Group {
    /// Packing group III.
    Z,
    /// Packing groups II and III.
    Y,
    /// Packing groups I, II and III.
    X,
}

impl Group {
    /// The letter.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::X => "X",
            Self::Y => "Y",
            Self::Z => "Z",
        }
    }
}

/// How many batteries one outer packaging may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Items {
    /// As the verification report says.
    AsVerified,
    /// No number is set.
    Many,
    /// One.
    One,
    /// One where the battery weighs more than this, in grams.
    OneAbove(i64),
}

/// Something that must be true of the package.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    /// Each battery alone in an inner packaging.
    EachAlone,
    /// The inner packaging encloses it fully.
    FullyEnclosed,
    /// The inner packaging is not of metal.
    NonMetallicInner,
    /// The inner packaging is leak-proof, or the outer is.
    Leakproof,
    /// The cushioning does not burn.
    NonCombustible,
    /// The cushioning does not conduct.
    NonConductive,
    /// The cushioning takes up liquid.
    Absorbent,
    /// The cushioning takes up liquid, where the battery leaks.
    AbsorbentIfLeaking,
    /// Thermal insulation around the inner packaging.
    ThermalInsulation,
    /// A lining that does not conduct, where the outer is of metal.
    LinerInMetal,
    /// Protection against short circuit.
    ShortCircuitProtected,
    /// Secured against shifting.
    Secured,
    /// No weight of others on the battery terminals.
    NoLoadOnTerminals,
}

impl Need {
    /// What it asks, as words for a reason.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::EachAlone => "each battery alone in an inner packaging",
            Self::FullyEnclosed => "inner packaging encloses the battery fully",
            Self::NonMetallicInner => "inner packaging is not of metal",
            Self::Leakproof => "inner or outer packaging is leak-proof",
            Self::NonCombustible => "cushioning or insulation does not burn",
            Self::NonConductive => "cushioning or insulation does not conduct",
            Self::Absorbent => "cushioning is absorbent",
            Self::AbsorbentIfLeaking => "inert absorbent material for a leaking battery",
            Self::ThermalInsulation => "thermal insulation around the inner packaging",
            Self::LinerInMetal => "lining that does not conduct in a metal outer",
            Self::ShortCircuitProtected => "protection against short circuit",
            Self::Secured => "secured against shifting",
            Self::NoLoadOnTerminals => "no weight of others on the battery terminals",
        }
    }

    /// The name of its fact in files.
    #[must_use]
    pub const fn fact(self) -> &'static str {
        match self {
            Self::EachAlone => "package.inner.each_alone",
            Self::FullyEnclosed => "package.inner.fully_enclosed",
            Self::NonMetallicInner => "package.inner.non_metallic",
            Self::Leakproof => "package.inner.leakproof",
            Self::NonCombustible => "package.cushioning.non_combustible",
            Self::NonConductive => "package.cushioning.non_conductive",
            Self::Absorbent | Self::AbsorbentIfLeaking => "package.cushioning.absorbent",
            Self::ThermalInsulation => "package.cushioning.thermal_insulation",
            Self::LinerInMetal => "package.liner_non_conductive",
            Self::ShortCircuitProtected => "package.short_circuit_protected",
            Self::Secured => "package.secured",
            Self::NoLoadOnTerminals => "package.load_on_terminals",
        }
    }
}

/// One packing instruction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Instruction {
    /// The name on papers, such as `P908` or `173.185(f)(3)`.
    pub name: &'static str,
    /// The clause, with document and edition.
    pub clause: &'static str,
    /// Outer packagings.
    pub outer: Outer,
    /// Batteries in one outer.
    pub items: Items,
    /// What must be true inside.
    pub needs: &'static [Need],
    /// Whether the package must lie within a verification report.
    pub verified: bool,
    /// Most net mass in one package, in grams, where the instruction sets one.
    pub max_net_grams: Option<i64>,
    /// Whether more than 400 kg net are allowed without a tested packaging.
    pub may_exceed_400_kg: bool,
}

impl Instruction {
    /// An instruction to fill in.
    pub(crate) const BLANK: Self = Self {
        name: "",
        clause: "",
        outer: Outer::AsApproved,
        items: Items::Many,
        needs: &[],
        verified: false,
        max_net_grams: None,
        may_exceed_400_kg: false,
    };
}

impl fmt::Display for Instruction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} [{}]:", self.name, self.clause)?;
        match self.outer {
            Outer::AsApproved => f.write_str(" as approved")?,
            Outer::Marked { codes, group } => {
                for code in codes.iter().copied().flatten() {
                    write!(f, " {code}")?;
                }
                write!(f, " at {} or better", group.letter())?;
            }
            Outer::Unmarked(kinds) => {
                for (n, kind) in kinds.iter().enumerate() {
                    let joint = if n == 0 { " " } else { ", " };
                    write!(f, "{joint}{}", kind.name().replace('_', " "))?;
                }
            }
        }
        match self.items {
            Items::AsVerified => f.write_str("; number as verified")?,
            Items::Many => f.write_str("; any number")?,
            Items::One => f.write_str("; one")?,
            Items::OneAbove(grams) => {
                write!(f, "; one above {} kg", Decimal::from_thousandths(grams))?;
            }
        }
        for need in self.needs {
            write!(f, "; {}", need.words())?;
        }
        if self.verified {
            f.write_str("; within its verification report")?;
        }
        if let Some(grams) = self.max_net_grams {
            write!(f, "; at most {} kg net", Decimal::from_thousandths(grams))?;
        }
        if self.may_exceed_400_kg {
            f.write_str("; may exceed 400 kg net")?;
        }
        Ok(())
    }
}
