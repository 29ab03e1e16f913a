//! Change of custody: seal, release, receipt, discrepancy, timeline. Nothing here yet: in this
//! edition a job ends at the hand-over, whose rows `actions::custody_rows` takes from the entries.
