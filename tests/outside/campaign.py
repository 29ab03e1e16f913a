#!/usr/bin/env python3
"""A recall campaign by `packdown pack --instance` beside polars with a next-fit loop; not part of
`cargo test`. Needs PyPI polars.

usage: campaign.py PACKDOWN MODULES.csv [LEAST]

MODULES.csv has columns depot_id, mass_kg, energy_wh, damage, recalled, disposition. Modules are packed
by depot and class; LEAST is a proven bound on all packages. Every plan is checked here: each module in
exactly one package, no cap passed."""
import json
import subprocess
import sys
import tempfile
import time

import polars as pl

CAPS = {"critical": (4000, 10**12, 1), "damaged": (4000, 25_000, 4)}
COMMON = (8000, 60_000, 24)


def classified(path):
    damage = pl.col("damage")
    returned = (pl.col("recalled") == 1) & (pl.col("disposition") == "return")
    of = (
        pl.when(damage.is_in(["vent", "heat"]))
        .then(pl.lit("critical"))
        .when(damage.is_in(["swollen", "leak", "water", "dent"]) | returned)
        .then(pl.lit("damaged"))
        .when(pl.col("disposition") == "reuse")
        .then(pl.lit("reuse"))
        .otherwise(pl.lit("end of life"))
        .alias("of")
    )
    return (
        pl.scan_csv(path)
        .select("depot_id", of, (pl.col("mass_kg") * 10).round().cast(pl.Int64), pl.col("energy_wh").cast(pl.Int64))
        .collect()
        .sort("depot_id", "of", "mass_kg", "energy_wh", descending=[False, False, True, True])
    )


def next_fit(table):
    packages, before, load = 0, None, None
    for depot, of, mass, energy in table.iter_rows():
        if (depot, of) != before:
            before, load = (depot, of), None
            cap = CAPS.get(of, COMMON)
        more = (mass, min(energy, cap[1]), 1)
        if load is None or any(a + b > c for a, b, c in zip(load, more, cap)):
            packages, load = packages + 1, more
        else:
            load = tuple(a + b for a, b in zip(load, more))
    return packages


def main():
    program, path = sys.argv[1:3]
    begin = time.monotonic()
    table = classified(path)
    theirs = next_fit(table)
    their_time = time.monotonic() - begin
    groups = {}
    for depot, of, mass, energy in table.iter_rows():
        cap = CAPS.get(of, COMMON)
        groups.setdefault((depot, of), (cap, []))[1].append([mass, min(energy, cap[1]), 1])
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as file:
        for (depot, of), (cap, items) in groups.items():
            file.write(json.dumps({"name": f"{depot} {of}", "cap": cap, "items": items}) + "\n")
        file.flush()
        begin = time.monotonic()
        out = subprocess.run([program, "pack", "--instance", file.name, "--format", "json"], stdout=subprocess.PIPE)
        our_time = time.monotonic() - begin
    plans = [json.loads(line) for line in out.stdout.splitlines()]
    plans = plans[0] if len(plans) == 1 and isinstance(plans[0], list) else plans
    assert len(plans) == len(groups), (len(plans), len(groups))
    ours = bound = 0
    for plan, (name, (cap, items)) in zip(plans, groups.items()):
        assert plan["name"] == f"{name[0]} {name[1]}"
        seen = sorted(item for package in plan["bins"] for item in package)
        assert seen == list(range(len(items))), plan["name"]
        for package in plan["bins"]:
            for n, most in enumerate(cap):
                assert sum(items[item][n] for item in package) <= most, (plan["name"], package)
        assert plan["lower_bound"] <= plan["count"] == len(plan["bins"])
        ours += plan["count"]
        bound += plan["lower_bound"]
    print(f"polars and next-fit: {theirs} packages, {their_time:.2f} s")
    print(f"packdown, reading JSON: {ours} packages, {our_time:.2f} s; own bound {bound}")
    least = int(sys.argv[3]) if len(sys.argv) > 3 else bound
    print(f"above the bound {least}: {100 * (ours / least - 1):.3f} %")
    return int(ours > least * 1.001)


sys.exit(main())
