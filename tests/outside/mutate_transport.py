#!/usr/bin/env python3
"""Moves each figure of the transport sources by one step, and drops each line of its tables, one at
a time, in a copy of the tree; a mutant that no test notices is a survivor.

usage: tests/outside/mutate_transport.py [--only FILE] [--sample N] [--seed S] [--list] [--keep DIR]

What is a row of a rule is moved and dropped inside the everyday tests already
(`no_row_can_be_dropped_without_failing_a_case`, and `every_limit_moved_by_one_step_is_noticed` with
`--ignored`). This script is for what stands in code and in plain tables: packaging limits, loads,
documents, marks. It needs minutes for each mutant, so it is kept out of the everyday tests.
"""
import argparse, os, pathlib, random, re, shutil, subprocess, sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
FILES = [
    "src/transport/vehicle_rows.rs", "src/transport/vehicle_load.rs",
    "src/transport/highway_load.rs", "src/transport/rail_load.rs",
    "src/transport/package.rs", "src/transport/contents.rs", "src/transport/shown.rs",
    "src/transport/document_check.rs", "src/transport/document_line.rs",
    "src/transport/edition.rs", "src/transport/mark/reading.rs", "src/transport/mark/parts.rs",
]
# Tests that look at each file; the slow ones over the whole product are left out.
TESTS = {
    "vehicle_rows.rs": ["classify_load", "classify_document"],
    "vehicle_load.rs": ["classify_load", "classify_document"],
    "highway_load.rs": ["classify_load"],
    "rail_load.rs": ["classify_load"],
    "document_check.rs": ["classify_document"],
    "document_line.rs": ["classify_document"],
    "reading.rs": ["un_marks", "transport_cases"],
    "parts.rs": ["un_marks", "transport_cases"],
}
OTHER_TESTS = ["transport_cases", "transport_switches", "transport_frozen", "transport_waste",
               "transport_route"]
FIGURE = re.compile(r"(?<![\w.\"§/])(\d[\d_]*)(?![\w.]|\s*=>\s*\{)")
COMPARE = {" < ": " <= ", " <= ": " < ", " > ": " >= ", " >= ": " > "}


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
    return re.sub(r'"(?:[^"\\]|\\.)*"', lambda m: '"' + " " * (len(m.group()) - 2) + '"', line)


def mutants(path):
    text = (ROOT / path).read_text()
    lines = text.splitlines()
    for number, line in code_lines(text):
        plain = without_strings(line)
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
            if at >= 0 and "=>" not in plain[at : at + 4] and "->" not in plain[at - 1 : at + 3]:
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


def run(copy, target, tests):
    env = dict(os.environ, CARGO_TARGET_DIR=str(target), CARGO_INCREMENTAL="1")
    build = subprocess.run(["cargo", "test", "--locked", "--test", "suite", "--no-run", "-q"],
                           cwd=copy, env=env, capture_output=True, text=True)
    if build.returncode:
        return "does not build"
    tests = subprocess.run(["cargo", "test", "--locked", "--test", "suite", "-q", "--", *tests],
                           cwd=copy, env=env, capture_output=True, text=True, timeout=1800)
    return "noticed" if tests.returncode else "SURVIVED"


def main():
    say = argparse.ArgumentParser()
    say.add_argument("--only"), say.add_argument("--sample", type=int)
    say.add_argument("--seed", type=int, default=1), say.add_argument("--list", action="store_true")
    say.add_argument("--keep", default=None)
    args = say.parse_args()
    files = [args.only] if args.only else FILES
    all_mutants = [one for path in files for one in mutants(path)]
    if args.sample and args.sample < len(all_mutants):
        all_mutants = random.Random(args.seed).sample(all_mutants, args.sample)
    if args.list:
        for path, number, new in all_mutants:
            print(f"{path}:{number + 1}: {'(dropped)' if new is None else new.strip()}")
        return 0
    where = pathlib.Path(args.keep or "target/mutants").resolve()
    copy, target = where / "tree", where / "target"
    if copy.exists():
        shutil.rmtree(copy)
    where.mkdir(parents=True, exist_ok=True)
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns("target", ".git"))
    every = sorted({test for tests in [*TESTS.values(), OTHER_TESTS] for test in tests})
    first = run(copy, target, every)
    if first != "SURVIVED":
        sys.exit(f"the tree without a change: {first}; a run of mutants says nothing")
    survivors, counted = [], {}
    for path, number, new in all_mutants:
        file = copy / path
        before = file.read_text()
        lines = before.splitlines()
        what = f"{path}:{number + 1}: {lines[number].strip()}  ->  {'(dropped)' if new is None else new.strip()}"
        if new is None:
            del lines[number]
            shortened(lines, number)
        else:
            lines[number] = new
        file.write_text("\n".join(lines) + "\n")
        try:
            tests = TESTS.get(pathlib.Path(path).name, OTHER_TESTS)
            outcome = run(copy, target, tests)
        finally:
            file.write_text(before)
        counted[outcome] = counted.get(outcome, 0) + 1
        print(f"{outcome:15} {what}", flush=True)
        if outcome == "SURVIVED":
            survivors.append(what)
    print(f"{len(all_mutants)} mutants: {counted}")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
