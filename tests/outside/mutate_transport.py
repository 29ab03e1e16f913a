#!/usr/bin/env python3
"""Moves each figure of the transport sources by one step, turns each comparison, and drops each line
of its tables, one at a time; a mutant that no test notices is a survivor.

usage: tests/outside/mutate_transport.py [--only FILE] [--sample N] [--seed S] [--list]
                                         [--work DIR] [--lines FROM-TO] [--again LOG]

What is a row of a rule is moved and dropped inside the everyday tests already
(`no_row_can_be_dropped_without_failing_a_case`, and `every_limit_moved_by_one_step_is_noticed` with
`--ignored`). This script is for what stands in code and in plain tables: packaging limits, loads,
documents, marks.

A mutant costs seconds, since only a part of the tree is built: the modules that transport stands on,
with the tests of transport inside the same crate. A mutant that runs past its time is noticed too.
`EQUIVALENT` lists what no test can notice, each with its reason. `--again` runs only those that the
log of an earlier run calls survivors.
"""
import argparse, os, pathlib, random, re, shutil, signal, subprocess, sys, time

ROOT = pathlib.Path(__file__).resolve().parents[2]
FILES = [
    "src/transport/vehicle_rows.rs", "src/transport/vehicle_load.rs",
    "src/transport/highway_load.rs", "src/transport/rail_load.rs",
    "src/transport/sea_air_rows.rs", "src/transport/sea_load.rs", "src/transport/air_load.rs",
    "src/transport/package.rs", "src/transport/contents.rs", "src/transport/shown.rs",
    "src/transport/document_check.rs", "src/transport/document_line.rs",
    "src/transport/edition.rs", "src/transport/mark/reading.rs", "src/transport/mark/parts.rs",
]
# What transport stands on, in the order of the layers.
MODULES = ["citation", "clock", "ids", "units", "ledger", "battery", "transport"]
# The tests of transport. Those of random facts are compiled for their tools and left out of the run;
# those of the whole table are slow and asked only where no other test noticed.
SUITE = ["transport_cases", "transport_table", "transport_oracle", "transport_package",
         "transport_switches", "transport_frozen", "transport_waste", "transport_route",
         "un_marks", "classify_load", "classify_load_sea_air", "classify_document"]
NEVER = ["transport_oracle", "no_row_can_be_dropped", "the_command_takes_legs"]
LAST = "transport_table::"
# Only these are looked at by the tests of the whole table.
IN_TABLE = ("edition.rs", "package.rs", "contents.rs", "shown.rs")
# The tests that look at the other files.
FEW = ["classify_", "un_marks", "transport_cases"]
# Asked first where the whole is asked: they take a moment and notice most.
QUICK = ["transport_package", "transport_cases"]
DEPENDENCIES = ["chrono", "serde", "serde_json", "serde_json_canonicalizer", "schemars", "sha2",
                "ed25519-dalek", "getrandom", "thiserror", "uuid", "unicode-normalization", "strsim",
                "tempfile", "regex-lite", "csv"]
# (file, line of code without its indent, what it became): why no answer changes.
EQUIVALENT = {
    ("src/transport/mark/reading.rs", ".map_or(0, |last| last + 1);", ".map_or(1, |last| last + 1);"):
        "where every name is R, L or RL the one before the letters is no year either way",
    ("src/transport/mark/parts.rs", "text.len() >= 2", "text.len() >= 1"):
        "one digit that ends in 0 is 0, which the last condition refuses",
    ("src/transport/document_line.rs", "if number_at < name_at && name_at < class_at {",
     "if number_at <= name_at && name_at < class_at {"):
        "number and name never begin at the same word",
    ("src/transport/vehicle_load.rs", ".unwrap_or(0);", ".unwrap_or(1);"):
        "no fire extinguisher at all fails by their number already",
    ("src/transport/sea_load.rs",
     ".is_ok_and(|sides| sides.saturating_mul(1_000) >= SEA_PLACARDS.thousandths());",
     ".is_ok_and(|sides| sides.saturating_mul(1001) >= SEA_PLACARDS.thousandths());"):
        "whole sides: three are 3,003 thousandths, still below four",
    ("src/transport/package.rs", "pub(super) const UNTESTED_NET_LIMIT: i64 = 400_000;",
     "pub(super) const UNTESTED_NET_LIMIT: i64 = 400001;"):
        "every instruction at hand that needs no tested packaging says that more is allowed",
    ("src/transport/package.rs", "pub(super) const UNTESTED_NET_LIMIT: i64 = 400_000;",
     "pub(super) const UNTESTED_NET_LIMIT: i64 = 399999;"):
        "every instruction at hand that needs no tested packaging says that more is allowed",
}
SECONDS = 180
FIGURE = re.compile(r"(?<![\w.\"§/])(\d[\d_]*)(?![\w.]|\s*=>\s*\{)")
COMPARE = {" < ": " <= ", " <= ": " < ", " > ": " >= ", " >= ": " > ", " == ": " != ", " != ": " == ",
           " && ": " || ", " || ": " && "}


def code_lines(text):
    """Line numbers that are code: no comments, no attributes, no tests."""
    for number, line in enumerate(text.splitlines()):
        if line.startswith("#[cfg(test)]"):
            return
        stripped = line.strip()
        if stripped and not stripped.startswith(("//", "#[", "use ", "mod ", "pub use ")):
            yield number, line


def without_strings(line):
    """The line with the inside of its strings blanked, so that no figure in a text is moved."""
    line = re.sub(r'"(?:[^"\\]|\\.)*"', lambda m: '"' + " " * (len(m.group()) - 2) + '"', line)
    return re.sub(r"'.'", "' '", line)


def mutants(path):
    text = (ROOT / path).read_text()
    inside = False  # a text over several lines
    for number, line in code_lines(text):
        plain = without_strings(line)
        was, inside = inside, inside ^ (plain.count('"') % 2 == 1)
        if was or inside:
            continue
        for found in FIGURE.finditer(plain):
            if re.search(r"\] = \[$", plain):
                continue  # the length of a table
            old = found.group(1)
            for step in (1, -1):
                value = int(old.replace("_", "")) + step
                if value >= 0:
                    yield path, number, line[: found.start(1)] + str(value) + line[found.end(1):]
        for sign, other in COMPARE.items():
            at = plain.find(sign)
            if at < 0 and plain.lstrip().startswith(sign.strip() + " "):
                at = plain.index(sign.strip()) - 1  # a line that goes on with its sign
            if at >= 0:
                yield path, number, line[:at] + other + line[at + len(sign):]
        # A line of a table: a call of one constructor, alone on its line.
        if re.match(r"^\s{4}(goods|category|agreement)\(.*\),$", line) or re.match(
            r'^\s{4}\("\w+", [\d_]+\),$', line
        ):
            yield path, number, None


def shortened(lines, number):
    """Tables have a length in their type: one less where a line was dropped."""
    for back in range(number, -1, -1):
        found = re.search(r"; (\d+)\] = \[", lines[back])
        if found:
            count = int(found.group(1)) - 1
            lines[back] = lines[back].replace(f"; {found.group(1)}] = [", f"; {count}] = [")
            return


def small_crate(where):
    """The part of the tree that transport needs, with its tests inside the crate."""
    tree = where / "tree"
    if tree.exists():
        shutil.rmtree(tree)
    (tree / "src").mkdir(parents=True)
    for module in MODULES:
        for name in (module, module + ".rs"):
            if (ROOT / "src" / name).is_dir():
                shutil.copytree(ROOT / "src" / name, tree / "src" / name)
            elif (ROOT / "src" / name).is_file():
                shutil.copy(ROOT / "src" / name, tree / "src" / name)
    (tree / "tests").mkdir()
    shutil.copytree(ROOT / "tests" / "cases", tree / "tests" / "cases")
    shutil.copytree(ROOT / "tests" / "suite", tree / "tests" / "suite")
    extra = [name for name in ("tests/golden", "tests/frozen") if (ROOT / name).is_dir()]
    for name in extra:
        shutil.copytree(ROOT / name, tree / name)
    manifest = (ROOT / "Cargo.toml").read_text()
    lines = []
    for name in DEPENDENCIES:
        found = re.search(rf"^{re.escape(name)} = .*$", manifest, re.M)
        if found:
            lines.append(found.group())
    (tree / "Cargo.toml").write_text(
        '[package]\nname = "packdown"\nversion = "0.1.0"\nedition = "2024"\nautotests = false\n'
        "[workspace]\n[dependencies]\n" + "\n".join(lines) +
        '\n[profile.dev]\ndebug = false\nopt-level = 0\n[profile.dev.package."*"]\nopt-level = 2\n')
    shutil.copy(ROOT / "Cargo.lock", tree / "Cargo.lock")
    (tree / "src" / "lib.rs").write_text(
        "#![allow(warnings)]\nextern crate self as packdown;\n"
        + "".join(f"pub mod {module};\n" for module in MODULES)
        + "".join(f'#[cfg(test)]\n#[path = "../tests/suite/{name}.rs"]\nmod {name};\n' for name in SUITE))
    return tree


def run(tree, target, whole=True):
    env = dict(os.environ, CARGO_TARGET_DIR=str(target), CARGO_INCREMENTAL="1",
               CARGO_BIN_EXE_packdown="none", RUST_MIN_STACK="16777216")
    build = subprocess.run(["cargo", "test", "--lib", "--no-run", "--message-format=short"],
                           cwd=tree, env=env, capture_output=True, text=True)
    if build.returncode:
        return "does not build", build.stderr
    program = re.findall(r"\(([^()]*packdown-[^()]*)\)", build.stderr)[-1]
    program = pathlib.Path(program) if os.path.isabs(program) else tree / program
    never = [part for name in NEVER for part in ("--skip", name)]
    for which in (QUICK, ["--skip", LAST], [LAST]) if whole else (FEW,):
        tests = subprocess.Popen([program, "-q", *which, *never], cwd=tree, env=env, text=True,
                                 stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                                 start_new_session=True)
        try:
            said, _ = tests.communicate(timeout=SECONDS)
        except subprocess.TimeoutExpired:
            os.killpg(tests.pid, signal.SIGKILL)
            return "noticed (time)", ""
        if tests.returncode:
            return "noticed", said
    return "SURVIVED", said


def main():
    say = argparse.ArgumentParser()
    say.add_argument("--only"), say.add_argument("--sample", type=int)
    say.add_argument("--seed", type=int, default=1), say.add_argument("--list", action="store_true")
    say.add_argument("--work", default=str(ROOT / "target" / "mutants")), say.add_argument("--lines")
    say.add_argument("--again")
    args = say.parse_args()
    files = args.only.split(",") if args.only else FILES
    all_mutants = [one for path in files for one in mutants(path)]
    if args.lines:
        first, last = map(int, args.lines.split("-"))
        all_mutants = [one for one in all_mutants if first <= one[1] + 1 <= last]
    if args.again:
        survived = re.findall(r"^SURVIVED .*? s  (\S+?):\d+: (.*)  ->  (.*)$",
                              pathlib.Path(args.again).read_text(), re.M)
        all_mutants = [(path, number, new) for path, number, new in all_mutants
                       if (path, (ROOT / path).read_text().splitlines()[number].strip(),
                           "(dropped)" if new is None else new.strip()) in survived]
    if args.sample and args.sample < len(all_mutants):
        all_mutants = random.Random(args.seed).sample(all_mutants, args.sample)
    if args.list:
        for path, number, new in all_mutants:
            print(f"{path}:{number + 1}: {'(dropped)' if new is None else new.strip()}")
        print(len(all_mutants))
        return 0
    where = pathlib.Path(args.work).resolve()
    where.mkdir(parents=True, exist_ok=True)
    tree, target = small_crate(where), where / "target"
    first, said = run(tree, target)
    if first != "SURVIVED":
        sys.exit(f"the tree without a change: {first}; a run of mutants says nothing\n{said[-4000:]}")
    survivors, counted = [], {}
    for path, number, new in all_mutants:
        file = tree / path
        before = file.read_text()
        lines = before.splitlines()
        old, became = lines[number].strip(), "(dropped)" if new is None else new.strip()
        if new is None:
            del lines[number]
            shortened(lines, number)
        else:
            lines[number] = new
        started = time.monotonic()
        if (path, old, became) in EQUIVALENT:
            outcome = "equivalent"
        else:
            file.write_text("\n".join(lines) + "\n")
            try:
                outcome, _ = run(tree, target, path.endswith(IN_TABLE))
            finally:
                file.write_text(before)
        counted[outcome] = counted.get(outcome, 0) + 1
        what = f"{path}:{number + 1}: {old}  ->  {became}"
        print(f"{outcome:15} {time.monotonic() - started:5.1f} s  {what}", flush=True)
        if outcome == "SURVIVED":
            survivors.append(what)
    print(f"{len(all_mutants)} mutants: {counted}")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
