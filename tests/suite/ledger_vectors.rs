//! The ledger against published vectors, `tests/cases/ledger_vectors.tsv`; each row names its
//! source.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a vector that cannot be read is a failed test"
)]

use packdown::clock::Moment;
use packdown::ledger::{
    DeviceKey, Frontier, Hash, LedgerError, Note, Numbers, Standing, Verifier, canonical_bytes,
    consistency_proof, from_base64, from_hex, inclusion_proof, leaf_hash, parse_json, root_of,
    sha256, to_base64, to_hex, verify_consistency, verify_inclusion,
};
use serde_json::Value;

/// Input and expected value of the rows of one standard; never none.
fn rows(standard: &str) -> Vec<(&'static str, &'static str)> {
    let rows: Vec<_> = include_str!("../cases/ledger_vectors.tsv")
        .lines()
        .skip(1)
        .map(|line| {
            let mut fields = line.split('\t');
            let mut field = || fields.next().expect(line);
            let row = (field(), field(), field());
            assert!(!field().is_empty(), "no source: {line}");
            row
        })
        .filter(|(of, ..)| *of == standard)
        .map(|(_, input, expected)| (input, expected))
        .collect();
    assert!(!rows.is_empty(), "{standard}");
    rows
}

fn hash(text: &Value) -> Hash {
    let bytes = from_base64(text.as_str().unwrap()).unwrap();
    bytes.try_into().unwrap()
}

fn proof(vector: &Value) -> Vec<Hash> {
    vector["proof"]
        .as_array()
        .unwrap()
        .iter()
        .map(hash)
        .collect()
}

/// The leaves from which all roots and proofs of the published tree tests are made.
fn published_leaves() -> Vec<Hash> {
    let (input, _) = rows("RFC 6962 tree root (hex leaves, size)")
        .into_iter()
        .max_by_key(|(input, _)| input.len())
        .unwrap();
    leaves_of(input)
}

fn leaves_of(input: &str) -> Vec<Hash> {
    let (size, list) = input.split_once("; leaves [").unwrap();
    let size: usize = size.strip_prefix("size ").unwrap().parse().unwrap();
    let list = list.strip_suffix(']').unwrap();
    let leaves = list.split(',').take(size);
    leaves
        .map(|leaf| leaf_hash(&from_hex(leaf).unwrap()))
        .collect()
}

#[test]
fn rfc_6962_roots() {
    for (input, expected) in rows("RFC 6962 tree root (hex leaves, size)") {
        let leaves = leaves_of(input);
        assert_eq!(to_hex(&root_of(&leaves)), expected, "{input}");
        let mut frontier = Frontier::default();
        leaves.iter().for_each(|leaf| frontier.push(*leaf));
        assert_eq!(frontier.size(), leaves.len() as u64);
    }
}

#[test]
fn rfc_6962_inclusion_proofs_hold_and_are_the_ones_we_make() {
    for (input, expected) in rows("RFC 6962 inclusion proof") {
        assert_eq!(expected, "valid");
        let vector: Value = serde_json::from_str(input).unwrap();
        let number = |name: &str| vector[name].as_u64().unwrap();
        let (index, size) = (number("index"), number("size"));
        let (leaf, root) = (hash(&vector["leaf"]), hash(&vector["root"]));
        let proof = proof(&vector);
        assert!(verify_inclusion(index, size, &leaf, &proof, &root));
        let leaves = published_leaves();
        let ours = inclusion_proof(leaves.get(..size as usize).unwrap(), index as usize);
        assert_eq!(ours, Some(proof), "{input}");
    }
}

#[test]
fn rfc_6962_consistency_proofs_hold_and_are_the_ones_we_make() {
    for (input, expected) in rows("RFC 6962 consistency proof") {
        assert_eq!(expected, "valid");
        let vector: Value = serde_json::from_str(input).unwrap();
        let number = |name: &str| vector[name].as_u64().unwrap();
        let (old, size) = (number("size1"), number("size2"));
        let (before, after) = (hash(&vector["root1"]), hash(&vector["root2"]));
        let proof = proof(&vector);
        assert!(verify_consistency(old, size, &before, &after, &proof));
        let leaves = published_leaves();
        let ours = consistency_proof(leaves.get(..size as usize).unwrap(), old as usize);
        assert_eq!(ours, Some(proof), "{input}");
    }
}

#[test]
fn c2sp_notes_verify_and_one_changed_letter_does_not() {
    for (input, expected) in rows(r"C2SP signed note (\n escaped)") {
        assert_eq!(expected, "valid");
        let (vkey, note) = input
            .strip_prefix("vkey ")
            .unwrap()
            .split_once(" ; ")
            .unwrap();
        let verifier: Verifier = vkey.parse().unwrap();
        assert_eq!(verifier.to_string(), vkey);
        let text = note.replace(r"\n", "\n");
        let note = Note::parse(&text).unwrap();
        assert_eq!(note.to_string(), text);
        let trusted = [verifier];
        let name = trusted[0].name().to_owned();
        assert_eq!(
            note.standing(&trusted),
            Standing::Signed(vec![name.clone()])
        );
        let changed = text.replacen('e', "a", 1);
        let changed = Note::parse(&changed).unwrap();
        assert_eq!(changed.standing(&trusted), Standing::Bad(name));
    }
}

#[test]
fn a_published_note_is_signed_to_the_same_bytes() {
    // The key is the published example of the Go reference implementation of signed notes
    // (golang.org/x/mod/sumdb/note, its documentation; read as quoted in public tests).
    let typed = from_base64("AYEKFALVFGyNhPJEMzD1QIDr+Y7hfZx09iUvxdXHKDFz").unwrap();
    let seed: [u8; 32] = typed.get(1..).unwrap().try_into().unwrap();
    let key = DeviceKey::from_seed("PeterNeumann", &seed).unwrap();
    let (input, _) = rows(r"C2SP signed note (\n escaped)")
        .into_iter()
        .find(|(input, _)| input.contains("PeterNeumann"))
        .unwrap();
    let published = input.split_once(" ; ").unwrap().1.replace(r"\n", "\n");
    let text = published.split_once("\n\n").unwrap().0;
    let mut note = Note::new(format!("{text}\n")).unwrap();
    note.sign(&key);
    assert_eq!(note.to_string(), published);
}

#[test]
fn c2sp_cosignatures_are_framed_and_signed_as_published() {
    let mut kinds = Vec::new();
    for (input, time) in rows(r"C2SP tlog-cosignature (\n escaped)") {
        let (head, note) = input.split_once(" ; ").unwrap();
        let note = Note::parse(&note.replace(r"\n", "\n")).unwrap();
        let line = &note.signatures()[0];
        let (stamp, signature) = line.bytes.split_first_chunk::<8>().unwrap();
        assert_eq!(u64::from_be_bytes(*stamp).to_string(), time);
        assert_eq!(signature.len(), 64);
        let (kind, rest) = head.split_once(' ').unwrap();
        let (name, rest) = rest.split_once(' ').unwrap();
        assert_eq!(line.name, name);
        kinds.push(kind);
        if kind == "message" {
            // What a key of ours signs over the same note at the same time is that message.
            let key = DeviceKey::from_seed(name, &[7; 32]).unwrap();
            let mut own = Note::new(note.text()).unwrap();
            let seconds = time.parse().unwrap();
            own.cosign(&key, Moment::from_unix_s(seconds).unwrap())
                .unwrap();
            let line = &own.signatures()[0];
            assert_eq!(line.bytes[..8], stamp[..]);
            let message = rest.replace(r"\n", "\n");
            assert!(key.verifier().accepts(message.as_bytes(), &line.bytes[8..]));
        } else {
            let (id, typed) = rest.split_once(' ').unwrap();
            let typed = from_base64(typed).unwrap();
            let (4, key) = (typed[0], &typed[1..]) else {
                panic!("the type byte of a cosignature is 0x04");
            };
            // The same key as other notes would name it.
            let own = [&[1], key].concat();
            let hash = sha256(&[name.as_bytes(), b"\n", &own].concat());
            let vkey = format!("{name}+{}+{}", to_hex(&hash[..4]), to_base64(&own));
            let verifier: Verifier = vkey.parse().unwrap();
            assert_eq!(to_hex(&verifier.cosigner_id()), id);
            let found = note.cosignatures(std::slice::from_ref(&verifier));
            assert!(found.len() == 1 && found[0].holds, "{found:?}");
            let forged = note.to_string().replacen("8532", "8533", 1);
            let forged = Note::parse(&forged).unwrap();
            assert!(!forged.cosignatures(&[verifier])[0].holds);
        }
    }
    assert_eq!(kinds, ["message", "key"]);
}

#[test]
fn rfc_8032_keys_and_signatures() {
    for (input, expected) in rows("RFC 8032 Ed25519") {
        let (seed, message) = input
            .strip_prefix("sk ")
            .unwrap()
            .split_once(" msg ")
            .unwrap();
        let (public, signature) = expected
            .strip_prefix("pk ")
            .unwrap()
            .split_once(" sig ")
            .unwrap();
        let message = from_hex(message).unwrap_or_default();
        let seed: [u8; 32] = from_hex(seed).unwrap().try_into().unwrap();
        let key = DeviceKey::from_seed("rfc8032.invalid", &seed).unwrap();
        assert_eq!(to_hex(&key.verifier().public_key()), public);
        let mut ours = key.sign(&message);
        assert_eq!(to_hex(&ours), signature);
        assert!(key.verifier().accepts(&message, &ours));
        ours[40] ^= 1;
        assert!(!key.verifier().accepts(&message, &ours));
        assert!(!key.verifier().accepts(&message, &[]));
    }
}

#[test]
fn rfc_8785_canonical_bytes() {
    let mut refused = Vec::new();
    for (input, expected) in rows("RFC 8785 JCS (SHA-256 of canonical bytes)") {
        match parse_json(input, Numbers::Whole) {
            Ok(value) => {
                let bytes = canonical_bytes(&value).unwrap();
                assert_eq!(to_hex(&sha256(&bytes)), expected, "{input}");
                // What is canonical stays as it is.
                let text = std::str::from_utf8(&bytes).unwrap();
                let again = parse_json(text, Numbers::Whole).unwrap();
                assert_eq!(canonical_bytes(&again).unwrap(), bytes);
            }
            Err(LedgerError::Number { pointer }) => {
                refused.push(pointer);
                // The same value with the one fraction, 56.0, written as the whole number it is.
                let value = parse_json(&input.replace("56.0", "56"), Numbers::Whole).unwrap();
                let bytes = canonical_bytes(&value).unwrap();
                assert_eq!(to_hex(&sha256(&bytes)), expected, "{input}");
            }
            Err(other) => panic!("{input}: {other}"),
        }
    }
    assert_eq!(refused, ["/1/\n"], "only the case with 56.0");
    for (input, expected) in rows("RFC 8785 JCS") {
        let value = parse_json(input, Numbers::Whole).unwrap();
        assert_eq!(canonical_bytes(&value).unwrap(), expected.as_bytes());
    }
}

#[test]
fn rfc_8785_numbers_that_are_not_exact_never_enter() {
    let mut taken = Vec::new();
    for (bits, text) in rows("RFC 8785 number (IEEE-754 hex)") {
        // The crate that writes our bytes agrees with the RFC on every published double ...
        let double = f64::from_bits(u64::from_str_radix(bits, 16).unwrap());
        assert_eq!(serde_json_canonicalizer::to_string(&double).unwrap(), text);
        // ... and of these the ledger takes the one that is an exact whole number.
        if parse_json(text, Numbers::Whole).is_ok() {
            taken.push(text);
        }
    }
    assert_eq!(taken, ["0"]);
}

#[test]
fn rfc_9562_version_7_example() {
    for (id, _) in rows("RFC 9562 UUIDv7") {
        // 0xCC3 and 0x18C4DC0C0C07398F without the version and variant bits.
        let mut digest = [0_u8; 32];
        let tail = from_hex("0cc318c4dc0c0c07398f").unwrap();
        digest
            .iter_mut()
            .zip(tail)
            .for_each(|(to, from)| *to = from);
        let ours = packdown::ids::event_id(1_645_557_742_000, &digest);
        assert_eq!(ours, id.to_lowercase());
    }
}
