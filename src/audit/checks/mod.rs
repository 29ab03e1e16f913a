//! What the checks do, one file a subject; the table names each with question, clause and weight.

pub(super) mod charge;
pub(super) mod custody;
pub(super) mod dead_test;
pub(super) mod deadlines;
pub(super) mod equipment;
pub(super) mod isolation;
pub(super) mod made_safe;
pub(super) mod people;
pub(super) mod printed_points;
pub(super) mod readings;
pub(super) mod record;
pub(super) mod shipping;
pub(super) mod small_load;
