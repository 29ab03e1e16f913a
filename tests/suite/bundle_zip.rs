//! Zip files that mean harm: each trick is refused with one clear word, and nothing falls over.

use packdown::store::bag::open_bundle;

use crate::zip_maker::{Member, crc, zip};

/// What is said about the file.
fn said(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job-1.zip");
    std::fs::write(&path, bytes).unwrap();
    open_bundle(&path).unwrap_err().to_string()
}

fn with(change: impl Fn(&mut Vec<Member>)) -> Vec<u8> {
    let mut members = vec![
        Member::stored("job-1/bagit.txt", b"one"),
        Member::stored("job-1/data/a", b"two"),
    ];
    change(&mut members);
    zip(&members)
}

#[track_caller]
fn refused(word: &str, change: impl Fn(&mut Vec<Member>)) {
    let said = said(&with(change));
    assert!(said.contains(word), "{word}: {said}");
    assert_eq!(said.lines().count(), 1, "{said}");
}

#[test]
fn an_honest_zip_comes_as_far_as_its_bag() {
    let said = said(&with(|_| {}));
    assert!(said.contains("does not hold"), "{said}");
}

#[test]
fn names_that_leave_the_folder() {
    for (word, name) in [
        ("an absolute path", "/job-1/x"),
        ("points elsewhere", "job-1/../x"),
        ("points elsewhere", "job-1/./x"),
        ("a backslash", "job-1\\x"),
        ("a backslash", "job-1/..\\..\\x"),
        ("a colon", "C:/x"),
        ("begins with ~", "~/x"),
        ("begins with ~", "job-1/~root/x"),
        ("an empty part", "job-1//x"),
        ("a control character", "job-1/x\ny"),
        ("a control character", "job-1/x\0.txt"),
        ("the name of a device", "job-1/data/aux.txt"),
        ("ends in a point", "job-1/data/x."),
        ("a file outside its folder", "x"),
        ("more than one folder", "other/x"),
    ] {
        refused(word, |members| members.push(Member::stored(name, b"x")));
    }
}

#[test]
fn names_that_are_one_file_somewhere() {
    refused("there twice", |m| {
        m.push(Member::stored("job-1/data/a", b"other"))
    });
    refused("only by case", |m| {
        m.push(Member::stored("job-1/data/A", b"x"))
    });
    refused("Unicode form", |m| {
        m.push(Member::stored("job-1/data/\u{fc}", b"x"));
        m.push(Member::stored("job-1/data/u\u{308}", b"x"));
    });
    refused("also a folder", |m| {
        m.push(Member::stored("job-1/data/a/b", b"x"))
    });
    refused("a second name", |m| m[1].extra = vec![0x75, 0x70, 1, 0, 1]);
    refused("describes otherwise", |m| {
        m[1].local_name = Some(b"job-1/data/b".to_vec())
    });
    refused("not UTF-8", |m| m[1].name = b"job-1/data/\xff".to_vec());
    refused("unnamed alphabet", |m| {
        m.push(Member::stored("job-1/data/\u{fc}", b"x"));
        m[2].flags = 0;
    });
}

#[test]
fn what_is_no_plain_file() {
    refused("a link", |m| m[1].mode = 0o120_777);
    refused("no plain file", |m| m[1].mode = 0o020_666);
    refused("no plain file", |m| m[1].mode = 0o040_755);
    refused("encrypted", |m| m[1].flags |= 1);
    refused("encrypted", |m| m[1].flags |= 1 << 13);
    refused("streamed", |m| m[1].flags |= 1 << 3);
    refused("way of packing", |m| m[1].method = 12);
    refused("64-bit sizes", |m| m[1].extra = vec![1, 0, 0, 0]);
}

#[test]
fn sizes_that_lie_and_files_that_grow() {
    refused("contradict each other", |m| m[1].size = 2);
    refused("checksum does not fit", |m| m[0].crc ^= 1);
    let zeros = |size: usize| miniz(&vec![0; size]);
    refused("grows more than 200 times", |m| {
        let packed = zeros(4 << 20);
        m[1].method = 8;
        m[1].size = 4 << 20;
        m[1].data = packed;
    });
    // Declares less than it holds: unpacking stops at what was declared.
    refused("size it declares", |m| {
        m[0].data = zeros(100_000);
        m[0].method = 8;
        m[0].size = 1_000;
        m[0].crc = crc(&[0; 1_000]);
    });
    refused("a file of more than", |m| {
        m[1].method = 8;
        m[1].size = u32::MAX;
    });
    refused("bytes when unpacked", |m| {
        for n in 0..9 {
            let mut member = Member::stored(&format!("job-1/data/{n}"), &vec![0; 2 << 20]);
            member.method = 8;
            member.size = 250 << 20;
            m.push(member);
        }
    });
}

/// Stored blocks of deflate would not grow, so the packer of the crate is asked.
fn miniz(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec(bytes, 6)
}

#[test]
fn bytes_where_none_belong() {
    refused("overlap", |m| {
        m.push(Member::stored("job-1/data/b", b"two"));
        m[2].shares = Some(1);
    });
    let honest = with(|_| {});
    for (word, bytes) in [
        (
            "bytes or a comment after its end",
            [&honest[..], b"tail"].concat(),
        ),
        (
            "bytes before its first file",
            [b"head", &honest[..]].concat(),
        ),
        (
            "not a zip file",
            b"%PDF-1.7 something else, long enough".to_vec(),
        ),
        ("too short", b"PK".to_vec()),
        ("too short", Vec::new()),
    ] {
        let said = said(&bytes);
        assert!(said.contains(word), "{word}: {said}");
    }
    // A comment that the end declares.
    let mut commented = honest.clone();
    let end = commented.len() - 2;
    commented[end] = 4;
    commented.extend(b"hide");
    assert!(said(&commented).contains("comment after its end"));
    // A gap between two files.
    let mut gap = with(|_| {});
    gap.splice(0..0, [0; 8]);
    assert!(said(&gap).contains("bytes"));
}

#[test]
fn too_many_files() {
    let many: Vec<Member> = (0..20_001)
        .map(|n| Member::stored(&format!("job-1/data/{n}"), b""))
        .collect();
    let said = said(&zip(&many));
    assert!(said.contains("20001 files; at most 20000"), "{said}");
}

#[test]
fn a_zip_cut_or_changed_anywhere_is_refused_and_nothing_falls_over() {
    let honest = with(|_| {});
    for cut in 0..honest.len() {
        said(&honest[..cut]);
    }
    for at in 0..honest.len() {
        for bit in 0..8 {
            let mut changed = honest.clone();
            changed[at] ^= 1 << bit;
            said(&changed);
        }
    }
}

#[cfg(unix)]
#[test]
fn an_unpacked_folder_with_a_link_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bagit.txt"), "x").unwrap();
    std::os::unix::fs::symlink("bagit.txt", folder.path().join("y")).unwrap();
    let said = open_bundle(folder.path()).unwrap_err().to_string();
    assert!(said.contains("a link: `y`"), "{said}");
}
