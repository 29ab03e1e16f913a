#!/usr/bin/env python3
"""Reads the tables of issued jobs with programs of others; not part of `cargo test`.

usage: tables.py PACKDOWN [JOB ...]      needs `frictionless`, `csvw` and `openpyxl` from PyPI

Every Data Package is valid and a changed copy is not; the CSVW metadata holds; each workbook has the
cells of its CSV, texts as text, numbers with their digits, and no formula.
"""
import csv
import pathlib
import subprocess
import sys
import tempfile

import csvw
import frictionless
import openpyxl


def issued(packdown, job, folder):
    run = [packdown, "run", str(job), "--out", str(folder / "out")]
    subprocess.run(run, stdout=subprocess.DEVNULL, check=False)
    if not (folder / "out" / "custody.csv").exists():
        return None
    subprocess.run([packdown, "issue", str(folder / "out")], stdout=subprocess.DEVNULL, check=True)
    return folder / "out"


def packages(folder):
    for name in ["custody", "sheets", "manifest"]:
        path = str(folder / f"{name}.datapackage.json")
        with frictionless.system.use_context(trusted=True):
            report = frictionless.validate(path, type="package")
            assert report.valid, (name, report.flatten(["type", "rowNumber", "note"]))
            table = folder / f"{name}.csv"
            text = table.read_bytes()
            change = b",removed,", b",remov=d,"
            if name == "sheets":
                change = b",yes,", b",yep,"
            assert change[0] in text
            table.write_bytes(text.replace(*change))
            changed = frictionless.validate(path, type="package")
            table.write_bytes(text)
            assert not changed.valid, name


def metadata(folder):
    table = csvw.CSVW(str(folder / "custody.csv-metadata.json"), validate=True)
    assert table.is_valid
    with open(folder / "custody.csv", newline="", encoding="utf-8") as file:
        assert len(list(table.tables[0])) == len(list(csv.DictReader(file)))


def workbooks(folder):
    for name in ["custody", "manifest"]:
        book = openpyxl.load_workbook(folder / f"{name}.xlsx")
        sheet = book[name]
        with open(folder / f"{name}.csv", newline="", encoding="utf-8") as file:
            rows = list(csv.reader(file))
        assert sheet.max_row == len(rows), name
        for line, row in enumerate(rows, start=1):
            for column, text in enumerate(row, start=1):
                cell = sheet.cell(line, column)
                assert cell.data_type != "f", cell.coordinate
                if cell.data_type == "n" and cell.value is not None:
                    places = len(text.partition(".")[2])
                    assert f"{cell.value:.{places}f}" == text, (cell.coordinate, text)
                else:
                    value = cell.value or ""
                    # The CSV has an apostrophe before what looks like a formula.
                    assert value == text or value == text.replace("'", "", 1), (value, text)


def main():
    packdown = str(pathlib.Path(sys.argv[1]).resolve())
    here = pathlib.Path(__file__).resolve().parents[2]
    jobs = [pathlib.Path(job) for job in sys.argv[2:]] or sorted((here / "sample-jobs").iterdir())
    count = 0
    for job in jobs:
        with tempfile.TemporaryDirectory() as folder:
            out = issued(packdown, job, pathlib.Path(folder))
            if out is None:
                continue
            packages(out)
            metadata(out)
            workbooks(out)
            count += 1
    print(f"{count} jobs: packages, metadata and workbooks hold")


main()
