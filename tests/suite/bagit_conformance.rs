//! BagIt (RFC 8493): the cases of the public conformance suite (LibraryOfCongress,
//! bagit-conformance-suite at 9ab48705, public domain), built here from what each is called.
//!
//! The suite's own bags use MD5; these use SHA-256 and SHA-512, which are the only hashes looked
//! at. Where this reader is stricter than the suite, the case says why.

use std::path::PathBuf;

use packdown::ledger::{sha256, sha512, to_hex};
use packdown::store::bag::inspect_bundle;

/// A bag while it is made: every text can be changed.
struct Bag {
    bagit: Vec<u8>,
    info: String,
    files: Vec<(String, Vec<u8>)>,
    /// Lines that replace those of the manifest of the payload.
    manifest: Option<String>,
    more: Vec<(String, Vec<u8>)>,
    without: Vec<&'static str>,
}

fn bag() -> Bag {
    Bag {
        bagit: b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n".to_vec(),
        info: "Bagging-Date: 2026-11-25\nPayload-Oxum: 10.2\n".into(),
        files: vec![
            ("data/hello.txt".into(), b"hello".to_vec()),
            ("data/sub/world.txt".into(), b"world".to_vec()),
        ],
        manifest: None,
        more: Vec::new(),
        without: Vec::new(),
    }
}

fn line(path: &str, bytes: &[u8]) -> String {
    format!("{}  {path}\n", to_hex(&sha256(bytes)))
}

impl Bag {
    fn lines(&self) -> String {
        self.files
            .iter()
            .map(|(path, bytes)| line(path, bytes))
            .collect()
    }

    /// Faults of the bag alone; what a hand-over needs beside is not asked here.
    fn faults(&self) -> Vec<String> {
        let folder = tempfile::tempdir().unwrap();
        let manifest = self.manifest.clone().unwrap_or_else(|| self.lines());
        let long: String = self
            .files
            .iter()
            .map(|(path, bytes)| format!("{}  {path}\n", to_hex(&sha512(bytes))))
            .collect();
        let mut files: Vec<(String, Vec<u8>)> = vec![
            ("bagit.txt".into(), self.bagit.clone()),
            ("bag-info.txt".into(), self.info.clone().into_bytes()),
            ("manifest-sha256.txt".into(), manifest.into_bytes()),
            ("manifest-sha512.txt".into(), long.into_bytes()),
        ];
        let tags: String = files
            .iter()
            .map(|(path, bytes)| line(path, bytes))
            .collect();
        files.push(("tagmanifest-sha256.txt".into(), tags.into_bytes()));
        files.extend(self.files.clone());
        for (path, bytes) in &self.more {
            files.retain(|(old, _)| old != path);
            files.push((path.clone(), bytes.clone()));
        }
        for (path, bytes) in files
            .iter()
            .filter(|(path, _)| !self.without.contains(&path.as_str()))
        {
            let to: PathBuf = folder.path().join(path);
            std::fs::create_dir_all(to.parent().unwrap()).unwrap();
            std::fs::write(to, bytes).unwrap();
        }
        match inspect_bundle(folder.path(), &[]) {
            Ok(found) => found.bag.faults,
            Err(error) => vec![error.to_string()],
        }
    }

    #[track_caller]
    fn valid(&self) {
        assert_eq!(self.faults(), Vec::<String>::new());
    }

    #[track_caller]
    fn invalid(&self, word: &str) {
        let faults = self.faults();
        assert!(
            faults.iter().any(|fault| fault.contains(word)),
            "{word}: {faults:?}"
        );
    }
}

fn older() -> Bag {
    Bag {
        bagit: b"BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n".to_vec(),
        ..bag()
    }
}

#[test]
fn v1_0_valid_basic_bag() {
    bag().valid();
}

#[test]
fn v1_0_invalid_not_all_manifests_list_all_files() {
    let mut bag = bag();
    bag.manifest = Some(line("data/hello.txt", b"hello"));
    bag.invalid("manifest-sha256.txt: does not list `data/sub/world.txt`");
}

#[test]
fn v1_0_invalid_missing_from_manifest() {
    let mut bag = bag();
    bag.more = vec![("data/extra".into(), b"x".to_vec())];
    bag.invalid("manifest-sha512.txt: does not list `data/extra`");
}

#[test]
fn v1_0_invalid_bagit_with_invalid_whitespace() {
    // The widely used checker on PyPI (bagit 1.9.0) accepts this one.
    let mut bag = bag();
    bag.bagit = b"BagIt-Version : 1.0\nTag-File-Character-Encoding : UTF-8\n".to_vec();
    bag.invalid("`BagIt-Version : 1.0`");
    for bagit in [
        "BagIt-Version:1.0\nTag-File-Character-Encoding: UTF-8\n",
        "BagIt-Version:  1.0\nTag-File-Character-Encoding: UTF-8\n",
        " BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "BagIt-Version: 1.0 \nTag-File-Character-Encoding: UTF-8\n",
        "Tag-File-Character-Encoding: UTF-8\nBagIt-Version: 1.0\n",
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n\n",
    ] {
        bag.bagit = bagit.into();
        bag.invalid("bagit.txt: ");
    }
}

#[test]
fn v1_0_invalid_same_filename_listed_twice_with_different_hashes() {
    let mut bag = bag();
    bag.manifest = Some(bag.lines() + &line("data/hello.txt", b"other"));
    bag.invalid("there twice");
}

#[test]
fn v0_97_valid_basic_bag_and_other_hashes() {
    older().valid();
    // basic-bag-md5, basic-bag-sha1, basic-bag-sha224: other manifests may stand beside; alone
    // they are refused, since those hashes can be forged or are too short to be looked at.
    let mut bag = older();
    let md5 = "5d41402abc4b2a76b9719d911017c592  data/hello.txt\n\
               7d793037a0760186574b0282f2f435e7  data/sub/world.txt\n";
    bag.more = vec![("manifest-md5.txt".into(), md5.into())];
    bag.valid();
    bag.without = vec![
        "manifest-sha256.txt",
        "manifest-sha512.txt",
        "tagmanifest-sha256.txt",
    ];
    bag.invalid("no manifest by SHA-256 or SHA-512");
}

#[test]
fn v0_97_valid_metadata() {
    // uncommon-metadata-separators, duplicate-metadata-entries; and values over several lines.
    let mut bag = older();
    bag.info = "Source-Organization : X\nContact-Name:Y\nContact-Name:\tZ\n  and more\n".into();
    bag.valid();
    // The first of these is no longer lawful in 1.0 (RFC 8493, section 2.2.2).
    bag.bagit = self::bag().bagit;
    bag.invalid("Source-Organization");
}

#[test]
fn v0_97_valid_names() {
    // bag-with-space, bag-with-leading-dot-slash-in-manifest, bag-in-a-bag, minimal-bag.
    let mut bag = older();
    bag.info = String::new();
    bag.files
        .push(("data/with space.txt".into(), b"x".to_vec()));
    let inner = b"BagIt-Version: 0.97\n".to_vec();
    bag.files.push(("data/bag/bagit.txt".into(), inner));
    bag.files.push(("data/bag/data/x".into(), b"x".to_vec()));
    bag.valid();
    bag.manifest = Some(bag.lines().replace("  data/", "  ./data/"));
    bag.valid();
    bag.manifest = Some(bag.lines().replace("  data/", " \t data/").to_uppercase());
    bag.invalid("DATA/");
}

#[test]
fn a_percent_sign_is_written_in_its_own_form_since_1_0() {
    // bag-with-encoded-names, bag-with-escapable-characters; RFC 8493, section 2.1.3. Names with
    // line feeds, which the suite has too, are refused here: no screen or list shows them whole.
    let mut bag = bag();
    bag.info = String::new();
    bag.files = vec![("data/50%.txt".into(), b"x".to_vec())];
    bag.without = vec!["manifest-sha512.txt", "tagmanifest-sha256.txt"];
    bag.manifest = Some(line("data/50%25.txt", b"x"));
    bag.valid();
    bag.bagit = older().bagit;
    bag.invalid("`data/50%25.txt` is not there");
    bag.manifest = Some(line("data/a%0Ab", b"x"));
    bag.invalid("a control character");
}

#[test]
fn v0_97_valid_that_are_refused_here() {
    // holey-bag, local-fetch: a bundle brings everything with it.
    let mut bag = older();
    bag.more = vec![(
        "fetch.txt".into(),
        b"http://x.invalid/y 1 data/y\n".to_vec(),
    )];
    bag.invalid("fetches nothing");
    // UTF-16-encoded-tag-files, ISO-8859-1-encoded-tag-files: one alphabet for all.
    for encoding in ["UTF-16", "ISO-8859-1"] {
        let mut bag = older();
        bag.bagit =
            format!("BagIt-Version: 0.97\nTag-File-Character-Encoding: {encoding}\n").into();
        bag.invalid("where Tag-File-Character-Encoding: UTF-8 stands");
    }
}

#[test]
fn v0_97_invalid_declarations() {
    let mut bag = older();
    // baginfo-missing-encoding
    bag.bagit = b"BagIt-Version: 0.97\n".to_vec();
    bag.invalid("1 lines, where there are two");
    // bom-in-bagit.txt
    bag.bagit = [b"\xef\xbb\xbf", &older().bagit[..]].concat();
    bag.invalid("bagit.txt: begins with a byte-order mark");
    // invalid-version-number
    bag.bagit = b"BagIt-Version: .97\nTag-File-Character-Encoding: UTF-8\n".to_vec();
    bag.invalid("version `.97`");
    // missing-bagit.txt
    bag.without = vec!["bagit.txt"];
    bag.invalid("there is no bagit.txt");
    // missing-baginfo: named by a tag manifest
    let mut bag = older();
    bag.without = vec!["bag-info.txt"];
    bag.invalid("tagmanifest-sha256.txt: `bag-info.txt` is not there");
}

#[test]
fn v0_97_invalid_files() {
    // corrupt-data-file
    let mut bag = older();
    bag.more = vec![("data/hello.txt".into(), b"jello".to_vec())];
    bag.invalid("`data/hello.txt` is not the file that manifest-sha256.txt names");
    bag.invalid("`data/hello.txt` is not the file that manifest-sha512.txt names");
    // corrupt-tag-file
    bag.more = vec![(
        "bag-info.txt".into(),
        b"Bagging-Date: 2026-11-26\n".to_vec(),
    )];
    bag.invalid("`bag-info.txt` is not the file that tagmanifest-sha256.txt names");
    // extra-file-in-bag
    bag.more = vec![("data/bar".into(), b"bar".to_vec())];
    bag.invalid("does not list `data/bar`");
    // A sum that does not fit, as every reader may look at it first (RFC 8493, section 2.2.2).
    let mut bag = older();
    bag.info = "Payload-Oxum: 11.2\n".into();
    bag.invalid("Payload-Oxum says 11.2, the payload is 10.2");
    // same-filename-listed-twice-with-different-hashes
    bag.manifest = Some(bag.lines() + &line("data/hello.txt", b"other"));
    bag.invalid("there twice");
    // No payload manifest at all.
    bag.without = vec!["manifest-sha256.txt", "manifest-sha512.txt"];
    bag.invalid("there is no manifest of the payload");
}

#[test]
fn v0_97_paths_out_of_scope() {
    // invalid, linux-only and windows-only; "-for-fetch" cases are refused with fetch.txt itself.
    for (path, word) in [
        ("../../../README.md", "points elsewhere"),
        ("data/../../README.md", "points elsewhere"),
        ("/foo", "an absolute path"),
        ("~/foo", "begins with ~"),
        ("~root/foo", "begins with ~"),
        ("C:\\Windows\\System32\\setx.exe", "a backslash"),
        ("C:/Windows/System32/setx.exe", "a colon"),
        ("\\\\?\\UNC\\server\\setx.exe", "a backslash"),
        ("%HomeDrive%\\Windows\\setx.exe", "a backslash"),
        ("%HomeDrive%/Windows/setx.exe", "a path outside data/"),
        ("bagit.txt", "a path outside data/"),
    ] {
        let mut bag = older();
        bag.manifest = Some(bag.lines() + &line(path, b"x"));
        bag.invalid(word);
    }
    let mut bag = bag();
    let own = line("data/hello.txt", b"hello");
    bag.more = vec![("tagmanifest-sha256.txt".into(), own.into())];
    bag.invalid("a path that is no tag file");
}

#[test]
fn v0_97_warnings_are_refusals_here() {
    // duplicate-file-with-different-case: one file on many systems.
    let mut bag = older();
    bag.manifest = Some(bag.lines() + &line("data/HELLO.txt", b"hello"));
    bag.invalid("only by case");
    // same-filename-listed-twice-with-different-normalization, filename-normalization
    bag.manifest = Some(line("data/\u{e9}", b"x") + &line("data/e\u{301}", b"x"));
    bag.invalid("Unicode form");
    // same-filename-listed-twice-with-the-same-hash
    bag.manifest = Some(bag.lines() + &line("data/hello.txt", b"hello"));
    bag.invalid("there twice");
    // made-with-md5sum-tools: the mark of those tools is not part of the name.
    bag.manifest = Some(bag.lines().replace("  data/", " *data/"));
    bag.invalid("a path outside data/: `*data/hello.txt`");
    // relative-path
    bag.manifest = Some(bag.lines() + &line("data/./hello.txt", b"hello"));
    bag.invalid("points elsewhere");
}
