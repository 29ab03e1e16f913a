//! Runs the program on a job of its own in a temporary folder.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// A temporary folder with a copy of a sample job, and a home for keys.
pub(crate) struct Bench {
    folder: tempfile::TempDir,
}

/// What a run gave.
pub(crate) struct Ran {
    /// Exit code.
    pub(crate) code: i32,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl Bench {
    /// A copy of the lawful job of `tests/cases/lawful-stack` as `job`.
    pub(crate) fn with_lawful_job() -> Self {
        Self::with_copy_of("tests/cases/lawful-stack")
    }

    /// A copy of a sample job as `job`.
    pub(crate) fn with_sample(name: &str) -> Self {
        Self::with_copy_of(&format!("sample-jobs/{name}"))
    }

    fn with_copy_of(place: &str) -> Self {
        let bench = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join(place);
        fs::create_dir_all(bench.path("job")).unwrap();
        for file in ["job.json", "record.jsonl"] {
            fs::copy(from.join(file), bench.path("job").join(file)).unwrap();
        }
        bench
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    pub(crate) fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        fs::write(self.path(name), text).unwrap();
    }

    /// Changes a file by replacing `old`, which must stand there.
    pub(crate) fn change(&self, name: &str, old: &str, new: &str) {
        let text = self.read(name);
        assert!(text.contains(old), "{name} does not contain {old}");
        self.write(name, text.replacen(old, new, 1));
    }

    /// Runs the program in the folder.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        self.run_with_input(arguments, "")
    }

    /// Runs the program in the folder and types `input` at it.
    pub(crate) fn run_with_input(&self, arguments: &[&str], input: &str) -> Ran {
        use std::io::Write;
        let mut child = Command::new(env!("CARGO_BIN_EXE_packdown"))
            .args(arguments)
            .current_dir(self.folder.path())
            .env("PACKDOWN_HOME", self.path("home"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A program that does not read closes its end; that is its own business.
        let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
        let Output {
            status,
            stdout,
            stderr,
        } = child.wait_with_output().unwrap();
        Ran {
            code: status.code().unwrap_or(-1),
            out: String::from_utf8(stdout).unwrap(),
            err: String::from_utf8(stderr).unwrap(),
        }
    }
}
