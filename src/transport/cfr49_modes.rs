//! The rows for the United States that hang on the mode or on a permit: vessel and aircraft, special
//! permits, materials of trade, records and reports (49 CFR, text of December 2022, read).

use crate::battery::Purpose;
use crate::citation::Known;
use crate::transport::cfr49_packing::{AS_APPROVED, SPECIAL_PERMIT};
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::Edition;
use crate::transport::rule::{Effect, IfUnknown, Place, Rule};
use crate::transport::situation::{
    ALONE, DAMAGED, FOUND_DAMAGED, LITHIUM, NO, PACKAGED, PROTOTYPE, SOUND, US, US_AIR, US_CARGO,
    US_HIGHWAY, US_LAND, US_PASSENGER, US_SURFACE, US_VESSEL, WASTE, WITH_EQUIPMENT, YES,
};
use crate::transport::surface_places::read;

const US_ROW: Rule = Rule {
    scope: US,
    ..Rule::BLANK
};

const fn at(place: &'static str) -> Place {
    read(Edition::Cfr49Of2022, place)
}

const GOODS: Criteria = Criteria::All(&[LITHIUM, PACKAGED]);
const BY_ITSELF: Criteria = Criteria::All(&[LITHIUM, ALONE]);
const BREACHED: Criteria = Criteria::Stated(&Criteria::OneOf(Fact::CasingBreached, YES));
const NOT_APPROVED: Criteria = Criteria::OneOf(Fact::AuthorityApproval, NO);
/// Certainly above 30 % of rated capacity.
const CHARGED: Criteria =
    Criteria::Compare(Fact::ChargeLow, Is::MoreThan, Value::Thousandths(30_000));
/// Perhaps above 30 %.
const MAY_BE_CHARGED: Criteria =
    Criteria::Compare(Fact::ChargeHigh, Is::MoreThan, Value::Thousandths(30_000));
const TOO_HEAVY: Criteria = Criteria::Any(&[
    Criteria::Compare(Fact::Mass, Is::MoreThan, Value::Thousandths(35_000)),
    Criteria::Stated(&Criteria::Compare(
        Fact::PackageNet,
        Is::MoreThan,
        Value::Thousandths(35_000),
    )),
]);
const TOO_HEAVY_WITH_PASSENGERS: Criteria = Criteria::Any(&[
    Criteria::Compare(Fact::Mass, Is::MoreThan, Value::Thousandths(5_000)),
    Criteria::Stated(&Criteria::Compare(
        Fact::PackageNet,
        Is::MoreThan,
        Value::Thousandths(5_000),
    )),
]);
const NOT_TOO_HEAVY_FOR_TRADE: Criteria =
    Criteria::Compare(Fact::PackageGross, Is::AtMost, Value::Thousandths(30_000));

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    // Vessel
    Rule {
        id: "us-vessel-damaged-words",
        says: "By vessel the paper of a damaged battery says so in words.",
        when: Criteria::All(&[LITHIUM, DAMAGED]),
        effects: &[Effect::Statement("DAMAGED/DEFECTIVE")],
        clauses: &[at("172.203(i)(4)")],
        scope: US_VESSEL,
        ..US_ROW
    },
    Rule {
        id: "us-vessel-recycling-words",
        says: "By vessel the paper of a battery for recycling says so in words.",
        when: Criteria::All(&[
            LITHIUM,
            SOUND,
            Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::Recycling)]),
        ]),
        effects: &[Effect::Statement("LITHIUM BATTERIES FOR RECYCLING")],
        clauses: &[at("172.203(i)(4)")],
        scope: US_VESSEL,
        ..US_ROW
    },
    Rule {
        id: "us-vessel-disposal-words",
        says: "By vessel the paper of a battery for disposal says so in words.",
        when: Criteria::All(&[
            LITHIUM,
            SOUND,
            Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::Disposal)]),
        ]),
        effects: &[Effect::Statement("LITHIUM BATTERIES FOR DISPOSAL")],
        clauses: &[at("172.203(i)(4)")],
        scope: US_VESSEL,
        ..US_ROW
    },
    Rule {
        id: "us-vessel-shipper-name",
        says: "By vessel the paper names the shipper.",
        when: LITHIUM,
        effects: &[Effect::Requirement],
        clauses: &[at("172.203(i)(1)")],
        scope: US_VESSEL,
        ..US_ROW
    },
    Rule {
        id: "us-vessel-stowage",
        says: "Damaged and waste batteries are stowed as category C, on deck, unless the voyage is \
               a short international one.",
        when: Criteria::All(&[
            LITHIUM,
            Criteria::Any(&[DAMAGED, WASTE]),
            Criteria::Not(&Criteria::Stated(&Criteria::OneOf(
                Fact::ShortVoyage,
                &[Value::Truth(true)],
            ))),
        ]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &[at("176.84(b), code 156")],
        basis: Known::Memory,
        scope: US_VESSEL,
        ..US_ROW
    },
    // Air
    Rule {
        id: "us-passenger-forbidden",
        says: "Batteries by themselves may not travel on passenger aircraft.",
        when: BY_ITSELF,
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by highway, rail or vessel, or by cargo aircraft where that is open",
        }],
        clauses: &[at("172.101, UN3480, column 9A")],
        scope: US_PASSENGER,
        ..US_ROW
    },
    Rule {
        id: "us-passenger-too-heavy",
        says: "On passenger aircraft a package holds at most 5 kg of batteries with or in \
               equipment.",
        when: Criteria::All(&[LITHIUM, WITH_EQUIPMENT, TOO_HEAVY_WITH_PASSENGERS]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by cargo aircraft, or by highway, rail or vessel",
        }],
        clauses: &[at("172.101, UN3481, column 9A")],
        scope: US_PASSENGER,
        ..US_ROW
    },
    Rule {
        id: "us-passenger-prototype-forbidden",
        says: "A prototype does not fly on passenger aircraft.",
        when: Criteria::All(&[LITHIUM, PROTOTYPE]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by cargo aircraft with an approval, or by highway, rail or vessel",
        }],
        clauses: &[at("173.185(e)(6), (7)")],
        scope: US_PASSENGER,
        ..US_ROW
    },
    Rule {
        id: "us-air-damaged-forbidden",
        says: "A damaged, defective or recalled battery may not travel by air.",
        when: Criteria::All(&[LITHIUM, FOUND_DAMAGED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by highway, rail or vessel as a DDR battery (damaged, defective or recalled)",
        }],
        clauses: &[at("173.185(f)")],
        scope: US_AIR,
        ..US_ROW
    },
    Rule {
        id: "us-cargo-charge-above",
        says: "A battery by itself flies at no more than 30 % of its rated capacity, unless the \
               Associate Administrator approves.",
        when: Criteria::All(&[BY_ITSELF, CHARGED, NOT_APPROVED]),
        effects: &[Effect::Forbid {
            way_out: "a qualified person discharges it to 30 % or less by a released method, or the shipper gets the approval",
        }],
        clauses: &[at("172.102(c)(2), A100")],
        scope: US_CARGO,
        ..US_ROW
    },
    Rule {
        id: "us-cargo-charge-straddles",
        says: "The readings do not show that the state of charge is 30 % or less.",
        when: Criteria::All(&[
            BY_ITSELF,
            MAY_BE_CHARGED,
            Criteria::Not(&CHARGED),
            NOT_APPROVED,
        ]),
        effects: &[Effect::NotDetermined {
            question: "is the state of charge 30 % or less",
            who: "whoever reads it from the battery's own electronics, or discharges it",
        }],
        clauses: &[at("172.102(c)(2), A100")],
        scope: US_CARGO,
        ..US_ROW
    },
    Rule {
        id: "us-cargo-too-heavy",
        says: "More than 35 kg in a package fly only with an approval.",
        when: Criteria::All(&[GOODS, TOO_HEAVY, NOT_APPROVED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper gets the approval, or sends it by highway, rail or vessel",
        }],
        clauses: &[at("172.101, UN3480, column 9B; 172.102(c)(2), A54")],
        scope: US_CARGO,
        ..US_ROW
    },
    Rule {
        id: "us-cargo-approved",
        says: "With an approval a battery flies as it says; the approval is kept with the papers.",
        when: Criteria::All(&[GOODS, SOUND, Criteria::OneOf(Fact::AuthorityApproval, YES)]),
        effects: &[Effect::Packing(&AS_APPROVED), Effect::Requirement],
        clauses: &[at("173.185(h); 172.102(c)(2), A54, A100")],
        scope: US_CARGO,
        ..US_ROW
    },
    Rule {
        id: "us-cargo-only-label",
        says: "By cargo aircraft the package also carries the label for cargo aircraft only.",
        when: BY_ITSELF,
        effects: &[Effect::Label("CARGO AIRCRAFT ONLY"), Effect::Requirement],
        clauses: &[at("172.402(c); 172.448")],
        basis: Known::Secondary,
        scope: US_CARGO,
        ..US_ROW
    },
    Rule {
        id: "us-air-paper",
        says: "By air the paper gives the net mass of each package and whether the kind of \
               aircraft is limited.",
        when: LITHIUM,
        effects: &[Effect::Requirement],
        clauses: &[at("172.202(a)(6); 172.203(f)")],
        scope: US_AIR,
        ..US_ROW
    },
    Rule {
        id: "us-air-not-together",
        says: "By air the battery is not in one outer packaging with explosives, flammable gas, \
               liquid or solid, or oxidizers.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("173.185(b)(7)")],
        scope: US_AIR,
        ..US_ROW
    },
    // Permits and reliefs
    Rule {
        id: "us-special-permit",
        says: "Under a special permit a damaged battery travels as it says; its number stands on \
               the paper and on the package.",
        when: Criteria::All(&[GOODS, DAMAGED, Criteria::OneOf(Fact::SpecialPermit, YES)]),
        effects: &[Effect::Packing(&SPECIAL_PERMIT), Effect::Requirement],
        clauses: &[at("107 subpart B; 172.203(a); 172.301(c)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-not-in-commerce-claimed",
        says: "An owner who carries a battery of his own in a vehicle of his own, and not for any \
               business, is outside these rules; whoever takes it out for a firm never is.",
        when: Criteria::OneOf(Fact::ClaimsNotInCommerce, YES),
        effects: &[Effect::NotDetermined {
            question: "is it the owner's own battery in the owner's own vehicle, and for no business",
            who: "the compliance officer",
        }],
        clauses: &[at("171.1; letter of interpretation 09-0143")],
        scope: US_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-materials-of-trade-claimed",
        says: "A package of at most 30 kg in the firm's own vehicle may be materials of trade; \
               whether it is hangs on the firm's work, the load and the packing.",
        when: Criteria::All(&[
            Criteria::OneOf(Fact::ClaimsMaterialsOfTrade, YES),
            NOT_TOO_HEAVY_FOR_TRADE,
            SOUND,
            Criteria::Not(&BREACHED),
        ]),
        effects: &[Effect::NotDetermined {
            question: "do all conditions of 173.6 hold, with at most 200 kg in the vehicle",
            who: "the compliance officer",
        }],
        clauses: &[at("173.6")],
        scope: US_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-materials-of-trade-not-open",
        says: "Materials of trade end at 30 kg gross, and are not open to damaged batteries or \
               hazardous waste, so the full rules hold.",
        when: Criteria::All(&[
            Criteria::OneOf(Fact::ClaimsMaterialsOfTrade, YES),
            Criteria::Any(&[Criteria::Not(&NOT_TOO_HEAVY_FOR_TRADE), DAMAGED, BREACHED]),
        ]),
        effects: &[Effect::Requirement],
        clauses: &[at("173.6")],
        scope: US_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-label-size",
        says: "The label is at least 100 mm a side, near the name, and on two sides of a package \
               of 1.8 cubic metres or more.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.406(a), (e); 172.407(c)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    // Records and reports
    Rule {
        id: "us-carrier-keeps-paper",
        says: "The carrier keeps the paper for one year, three for hazardous waste.",
        when: LITHIUM,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("177.817(f)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-training-record",
        says: "The record of training is kept for three years and until 90 days after the person \
               has left.",
        when: LITHIUM,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.704(d)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-incident-report",
        says: "Fire, rupture, dangerous heat or a scorched package is reported in writing within 30 \
               days, and by telephone within 12 hours where people were hurt or a road was shut.",
        when: LITHIUM,
        effects: &[Effect::Requirement],
        clauses: &[at("171.15; 171.16")],
        ..US_ROW
    },
    Rule {
        id: "us-no-placard",
        says: "A class 9 placard is not required, so the driver needs no endorsement for it.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.504(f)(9)")],
        scope: US_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-number-on-vehicle",
        says: "From 4000 kg gross of this number alone, loaded at one place, the number stands on \
               each side and end of the vehicle.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.301(a)(3)")],
        scope: US_LAND,
        ..US_ROW
    },
    Rule {
        id: "us-overpack",
        says: "An overpack shows name, number and label of what is inside and, where tested \
               packagings are required inside, OVERPACK in letters of at least 12 mm.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("173.25(a)")],
        ..US_ROW
    },
];
