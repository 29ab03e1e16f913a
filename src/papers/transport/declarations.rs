//! Declarations in the words of the law.

use super::content::Declaration;
use crate::transport::Regime;

/// 49 CFR 172.204(a)(1), copied from the edition of 1 October 2003 of the Government Printing
/// Office; the regulator wants it word for word (letter of interpretation 18-0097).
const US: Declaration = Declaration {
    text: "This is to certify that the above-named materials are properly classified, described, \
           packaged, marked and labeled, and are in proper condition for transportation according \
           to the applicable regulations of the Department of Transportation.",
    clause: "49 CFR, 172.204(a)(1)",
};

/// 49 CFR 172.204(a)(2), same edition. The IMDG Code has the same sentence in 5.4.1.6.1 (from
/// memory).
const INTERNATIONAL: &str = "I hereby declare that the contents of this consignment are fully and accurately described \
     above by the proper shipping name, and are classified, packaged, marked and \
     labelled/placarded, and are in all respects in proper condition for transport according to \
     applicable international and national governmental regulations.";

const SEA: Declaration = Declaration {
    text: INTERNATIONAL,
    clause: "IMDG 42-24, 5.4.1.6.1 (from memory; the words as in 49 CFR, 172.204(a)(2))",
};

const AIR: [Declaration; 2] = [
    Declaration {
        text: INTERNATIONAL,
        clause: "ICAO Technical Instructions, 5;4.1.6 (number from memory; the words as in 49 CFR, \
                 172.204(a)(2), and second-hand on shipper's declarations)",
    },
    Declaration {
        text: "I declare that all of the applicable air transport requirements have been met.",
        clause: "49 CFR, 172.204(c)(3) (number from memory; the words second-hand)",
    },
];

/// The declarations of a body of rules. ADR and RID prescribe none (5.4.1).
pub(super) fn declarations(regime: Regime) -> Vec<Declaration> {
    match regime {
        Regime::Adr | Regime::Rid => Vec::new(),
        Regime::Cfr49 => vec![US],
        Regime::Imdg => vec![SEA],
        Regime::Air => AIR.to_vec(),
    }
}
