//! Which module goes into which package: load, plan, lower bound, checker, solver. Nothing here
//! yet: in this edition the packer packs and the record says how.
