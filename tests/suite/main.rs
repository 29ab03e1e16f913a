//! Table of contents of the tests.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops at the first surprise; clippy knows only test functions, not their tools"
)]

// The form in which shipped procedures are read is what their sources say.
mod procedure_compiled;
// The edges of the shipped procedures against the trade's own list.
mod procedure_edges;
// The proof against a plain oracle, on a family of broken procedures.
mod procedure_proof;
// Wrong files of a user, settings, drawings.
mod procedure_files;
// The order of the shipped procedures against published rules, one test a rule.
mod procedure_rules;
// The procedures that come with the program read, pass the proof and say what they must.
mod procedure_shipped;
// Tables and workbooks for other programs.
mod data_papers;
// Events for systems of others: schema, planted faults, corrections.
mod epcis;
// Reads JSON schemas.
mod json_schema;
// What the papers look like, and that other programs read them as meant.
mod papers;
// Sentences of papers stand in the tables of words; every place in them is filled.
mod paper_words;
// The masses of a job are the same on every paper.
mod paper_sums;
// Issues of papers: numbered, kept, never overwritten.
mod issues;
// Printed papers, read back from the file.
mod pdf_reader;
mod printed;
// Printed papers in every language: heads, void papers, sizes, duties and refusals.
mod printed_languages;
// Papers: what modules for recycling are made of.
mod materials_paper;
// Papers: the record sheet of a discharge, and the sums behind it.
mod discharge_record;

// Readings that become findings by a rule: watch, insulation, lost charge.
mod readings_to_findings;
// Labels and marks: geometry, heights, codes read back.
mod labels;
// Numbers of packages out of a company prefix; marks by sea and air.
mod package_codes;
// The ledger's hashes, signatures and trees against published vectors.
mod ledger_vectors;
// A tampered, cut or torn record is always reported, and the entry is named where it can be.
mod ledger_tamper;
// What a log takes, gives and reads back; the words for each defect.
mod ledger_log;

// Transport decisions: published cases.
mod transport_cases;
// Transport decisions: the finite product of the facts, cell by cell.
mod transport_product;
// Transport decisions: the table of rules as a whole.
mod transport_table;
// Transport decisions: a second opinion in plain branches, on random facts.
mod transport_oracle;
// The mark on a UN packaging: published ones and ones made wrong on purpose.
mod un_marks;

// The end of the program where it is wrong itself.
mod bug;

// Scanned codes against published vectors; codes of packages.
mod gs1_codes;

// A transport document, word by word.
mod classify_document;
// A vehicle and its load.
mod classify_load;
// Cures in the words of the reader's region.
mod classify_reader;
// A unit for the sea, a consignment by air.
mod classify_load_sea_air;
// The commands around classification, as a person or a program meets them.
mod classify_cli;
// Waste law beside transport: the rows as a whole.
mod transport_waste;
// Past answers, frozen by edition.
mod transport_frozen;
// Days on which an answer changes, what is held, and what every refusal says.
mod transport_switches;
// Packagings at each limit.
mod transport_package;
// One package over several legs.
mod transport_route;

// State of charge against worked cases and by properties.
mod physics_state_of_charge;
// Energy, discharge, the wait, lifting.
mod physics_sums;
// Tables of the trade study, row by row.
mod worked_tables;
// Which way each input pulls.
mod physics_monotone;
// The same for inputs that are yes or no, a list, or may be absent.
mod physics_switches;
// What cells are made of, row by row.
mod composition_tables;
// Limits, cautions and sources beside the figures.
mod physics_words;
// Absent, doubled and hidden: the edges of each sum.
mod physics_edges;
// The charge of each module as the job knows it, reuse, lifts, cells.
mod job_charge;
// The hold: readings due, what releases and what never does.
mod inspection_hold;
// Arc, insulation, trends, gas, health and materials against worked cases.
mod physics_hazards;
// Sums asked for by name.
mod calc;
// Sums by table: rows as JSON, byte by byte, on all cores.
mod calc_rows;

// The plan of the house, read from the sources.
mod layering;
// Form of the sources that no lint knows.
mod tidy;
// The help of every command is the reference page.
mod cli_reference;

// Runs the program in a folder of its own.
mod program;
// Input that is broken, huge, or meant to harm.
mod hostile;
// Entries made one by one on a device.
mod device;
// The plan of a job begun after the manner of another.
mod new_job;
// The questions of `run` at a terminal, typed at.
mod interview;

// Zip files byte by byte, for those that lie.
mod zip_maker;
// Hand-over bundles: tricks of zip files.
mod bundle_zip;
// Hand-over bundles: the published cases of BagIt.
mod bagit_conformance;
// Hand-over bundles: handing over, cosigning, what is refused, tampering, cuts.
mod bundle;
// What a job is played by, kept with it.
mod kept_rules;
// Logs of several devices merged; proofs of one module.
mod bundle_merge;

// A lawful job to change one thing of.
mod lawful;
// Impossible figures at the gate, in a plan, at a dock: refused by name, or told.
mod plausible;
// As people type it: small letters, trade words, what is open next, what a step asks.
mod as_typed;
// The gate against a second opinion, on random records.
// Corrections: none opens a gate, lengthens a wait or a release, or makes a module sounder.
mod gate_corrections;
mod gate_oracle;
// The gate, rule by rule.
mod gate_rules;
// Every sample job gives what its folder says.
mod samples;
// The damaged pack and the rack, changed where the gate must say no.
mod damaged_and_rack;

// Custody events in bulk: the audit against a plain oracle, its files, its messages.
mod audit_events;
// Receiving: a site, a hand-over and a register to test with.
mod dock;
// Receiving: each planted discrepancy, tolerances, what nobody looked at.
mod receive_lines;
// Receiving: bays, hold, clocks of law, identities, units, the fold.
mod receive_register;
// Receiving: the commands as typed, cuts, locks, tables of other people, the fire page.
mod receive_program;
// The receipt of a load on paper.
mod receipt_paper;
// A session of scans: tampering between two scans is found, other writers are taken in.
mod receive_session;
// What a site sends on: a bundle of its own that the next receiver, verifier and auditor take.
mod dispatch;
// Receiving: every sample site's day gives what its folder says.
mod sample_sites;

// Packing: every partition of up to seven items, planted packings, uniform sizes.
mod packing_brute;
// Packing: the checker catches planted faults; bad instances are named.
mod packing_check;
// Packing: loads with bounds and best counts from outside solvers; the same plans every time.
mod packing_families;
// Packing: loads of one measure by the published recipe.
mod packing_one_kind;
// Packing: loads of real modules, what is kept apart, what the stock allows; the checker of loads.
mod packing_load;
// Packing: each limit of a package, one at a time, by planner and by checker.
mod packing_company;
// Packing: several layers in one packaging, weights, heights, terminals; counts against plain enumeration.
mod packing_layers;
// Packing: pallets, overpacks and vehicles; the checker of hauls.
mod packing_haul;
// Packing: the command as typed.
mod packing_program;

// Audit: histories without fault, made from a seed.
mod audit_histories;
// Audit: exactly one fault planted in each, found, and nothing else.
mod audit_faults;
// Audit: the command as typed.
mod audit_program;
// Audit: an inspector's questions, the file of a module, training, retention, masses, certificate.
mod audit_views;
// Audit: the register of a receiver beside the jobs; bundles.
mod audit_registers;
