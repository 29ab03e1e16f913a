//! The table of checks over many jobs. Nothing here yet; `verify` walks one job.
