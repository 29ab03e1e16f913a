//! One trait over the databases that hold the register of many jobs. Nothing here yet; a job is
//! a folder.
