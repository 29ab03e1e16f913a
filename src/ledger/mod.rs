//! The append-only, signed record: bytes in, bytes out.
//!
//! One log for each device. An entry is one line of canonical JSON (RFC 8785); the lines are the
//! leaves of an RFC 6962 tree; a checkpoint is a C2SP signed note over size and root. A later
//! edit therefore shows, and shows where. Nothing here knows about batteries or files.
//!
//! What it does not give: the truth of what was typed, secrecy, or protection from the owner of
//! a device key before anyone else has seen a checkpoint.

mod base64;
mod breaks;
mod canonical;
mod checkpoint;
mod cosign;
mod entry;
mod error;
mod hash;
mod key;
mod log;
mod note;
mod read;
mod stamp;
mod tlog_proof;
mod tree;
mod verify;
mod witness;

pub use base64::{from_base64, to_base64};
pub use breaks::{Break, Fault};
pub use canonical::{MAX_DEPTH, MAX_INTEGER, Numbers, canonical_bytes, parse_json};
pub use checkpoint::Checkpoint;
pub use cosign::Cosignature;
pub use entry::{FORMAT, LogEntry, MAX_LINE, Photo, Reach, reach};
pub use error::LedgerError;
pub use hash::{Hash, Sum, from_hex, link, sha256, sha512, to_hex};
pub use key::{DEMO_ORIGIN, DEMO_SEED, DeviceKey, Verifier};
pub use log::{Appended, Draft, Log};
pub use note::{Note, NoteSignature, Standing};
pub use stamp::Stamp;
pub use tlog_proof::TlogProof;
pub use tree::{
    Frontier, consistency_proof, inclusion_proof, leaf_hash, node_hash, root_of,
    verify_consistency, verify_inclusion,
};
pub use verify::{Signed, Verification, verify, verify_read};
pub use witness::{PaperWitness, Testimony};
