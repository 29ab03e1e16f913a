//! Duties of a vehicle, as rows: always, on a small load, on a full one; Europe and the United
//! States. ADR 2025 was read in an unofficial translation, 49 CFR in copies of the year named.

/// A duty of driver, carrier or loader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Duty {
    pub(super) id: &'static str,
    pub(super) says: &'static str,
    pub(super) clause: &'static str,
}

const fn duty(id: &'static str, says: &'static str, clause: &'static str) -> Duty {
    Duty { id, says, clause }
}

pub(super) const ADR_ALWAYS: &[Duty] = &[
    duty(
        "load-document-aboard",
        "The transport document is in the cab.",
        "ADR 2025, 8.1.2.1(a)",
    ),
    duty(
        "load-looked-over",
        "Vehicle and packages are looked over before loading; a damaged or leaking package is not \
         loaded.",
        "ADR 2025, 7.5.1.2; 1.4.3.1",
    ),
    duty(
        "load-secured",
        "The load is secured so that no package moves or is crushed; EN 12195-1 satisfies this.",
        "ADR 2025, 7.5.7",
    ),
    duty(
        "load-people-trained",
        "Everyone who loads or drives has been trained for it.",
        "ADR 2025, 1.3; 8.2.3",
    ),
    duty(
        "load-stay-closed",
        "The crew opens no package, smokes nowhere near, and uses no open light.",
        "ADR 2025, 8.3.3; 8.3.4; 8.3.5",
    ),
];

pub(super) const ADR_SMALL: &[Duty] = &[
    duty(
        "load-small-document",
        "The document gives quantity and points of each transport category.",
        "ADR 2025, 5.4.1.1.1(f)",
    ),
    duty(
        "load-small-extinguisher",
        "One fire extinguisher of at least 2 kg ABC powder is aboard.",
        "ADR 2025, 8.1.4.2",
    ),
    duty(
        "load-small-no-plates",
        "No orange plates, no written instructions, no driver's certificate, no tunnel \
         restriction.",
        "ADR 2025, 1.1.3.6.2; 8.6.3.3",
    ),
];

pub(super) const ADR_FULL: &[Duty] = &[
    duty(
        "load-full-plates",
        "Blank orange plates stand at front and rear; class 9 packages need no placard on the \
         vehicle.",
        "ADR 2025, 5.3.2.1.1; 5.3.1.5",
    ),
    duty(
        "load-full-written-instructions",
        "The written instructions, four pages in a language that the crew reads, are in the cab.",
        "ADR 2025, 5.4.3",
    ),
    duty(
        "load-full-driver",
        "The driver holds the certificate of training, and each of the crew carries an identity \
         card with photograph.",
        "ADR 2025, 8.2.1; 8.1.2.1(d)",
    ),
    duty(
        "load-full-extinguishers",
        "Fire extinguishers as the mass of the vehicle asks for: sealed, in date, within reach.",
        "ADR 2025, 8.1.4.1; 8.1.4.4",
    ),
    duty(
        "load-full-kit",
        "A chock for each vehicle, two standing warning signs, eye rinse; for each person a vest, \
         lamp, gloves and eye protection.",
        "ADR 2025, 8.1.5.2",
    ),
    duty(
        "load-full-tunnels",
        "The way passes no tunnel of category E.",
        "ADR 2025, 8.6.4",
    ),
    duty(
        "load-full-crew-only",
        "Nobody but the crew travels along.",
        "ADR 2025, 8.3.1",
    ),
];

pub(super) const US_ALWAYS: &[Duty] = &[duty(
    "load-us-no-placard",
    "No class 9 placard is required on the highway, and so no endorsement of the licence.",
    "49 CFR, 172.504(f)(9); letter of interpretation 21-0099",
)];

pub(super) const US_FULL: &[Duty] = &[
    duty(
        "load-us-paper",
        "The shipping paper, with its emergency number, is within the driver's reach.",
        "49 CFR, 172.202; 172.604; 177.817 (the last from memory, unverified)",
    ),
    duty(
        "load-us-secured",
        "Packages are secured against shifting; damage is looked for before loading.",
        "49 CFR, 173.185(b)(2); 177.834 (the last from memory, unverified)",
    ),
    duty(
        "load-us-trained",
        "Whoever loads or drives is trained and tested.",
        "49 CFR, 172.704 (from memory, unverified)",
    ),
];

pub(super) const TRADE: &[Duty] = &[
    duty(
        "load-us-trade-packing",
        "Materials of trade: in the maker's packaging or as strong a one, closed, secured, \
         protected from damage.",
        "49 CFR text of 2013, 173.6(b)",
    ),
    duty(
        "load-us-trade-name",
        "Each package shows the common or the proper shipping name.",
        "49 CFR text of 2013, 173.6(c)(1)",
    ),
    duty(
        "load-us-trade-driver",
        "The driver knows that they are aboard, and knows this section.",
        "49 CFR text of 2013, 173.6(c)(4)",
    ),
    duty(
        "load-us-trade-limits",
        "At most 30 kg gross a package (second-hand) and 200 kg in all on the vehicle; never \
         damaged batteries, never hazardous waste.",
        "49 CFR text of 2013, 173.6(a), (d); letter of interpretation 19-0041",
    ),
];
