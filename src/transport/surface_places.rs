//! Places that several editions share, so that a row names each of them once. What was read is
//! ADR/RID 2025; the edition of 2023 and the sea code are known second-hand.

use crate::citation::Known;
use crate::transport::edition::Edition;
use crate::transport::rule::Place;

/// A place that was read.
pub(crate) const fn read(edition: Edition, place: &'static str) -> Place {
    Place {
        edition,
        place,
        known: None,
    }
}

/// A place known in another way than the row.
pub(crate) const fn heard(edition: Edition, place: &'static str, known: Known) -> Place {
    Place {
        edition,
        place,
        known: Some(known),
    }
}

/// Road, rail and sea, both editions by land.
macro_rules! alike {
    ($place:literal) => {
        [
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Adr2023,
                $place,
                $crate::citation::Known::Secondary,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Adr2025,
                $place,
            ),
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Rid2023,
                $place,
                $crate::citation::Known::Secondary,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Rid2025,
                $place,
            ),
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Imdg42,
                concat!("as ADR ", $place),
                $crate::citation::Known::Secondary,
            ),
        ]
    };
}

/// Road, rail and sea, without the edition of 2023.
macro_rules! since_2025 {
    ($place:literal) => {
        [
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Adr2025,
                $place,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Rid2025,
                $place,
            ),
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Imdg42,
                concat!("as ADR ", $place),
                $crate::citation::Known::Secondary,
            ),
        ]
    };
}

/// Road and rail, both editions.
macro_rules! by_land {
    ($place:literal) => {
        [
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Adr2023,
                $place,
                $crate::citation::Known::Secondary,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Adr2025,
                $place,
            ),
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Rid2023,
                $place,
                $crate::citation::Known::Secondary,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Rid2025,
                $place,
            ),
        ]
    };
}

/// Road and rail, without the edition of 2023.
macro_rules! by_land_since_2025 {
    ($place:literal) => {
        [
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Adr2025,
                $place,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Rid2025,
                $place,
            ),
        ]
    };
}

/// Road, both editions.
macro_rules! by_road {
    ($place:literal) => {
        [
            $crate::transport::surface_places::heard(
                $crate::transport::edition::Edition::Adr2023,
                $place,
                $crate::citation::Known::Secondary,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Adr2025,
                $place,
            ),
        ]
    };
}

/// Road and rail of 2023.
macro_rules! by_land_of_2023 {
    ($place:literal) => {
        [
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Adr2023,
                $place,
            ),
            $crate::transport::surface_places::read(
                $crate::transport::edition::Edition::Rid2023,
                $place,
            ),
        ]
    };
}

pub(crate) use {alike, by_land, by_land_of_2023, by_land_since_2025, by_road, since_2025};
