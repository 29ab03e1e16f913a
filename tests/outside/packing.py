#!/usr/bin/env python3
"""Compares `packdown pack --instance` with HiGHS on random loads; not part of `cargo test`.

usage: packing.py PACKDOWN [LOADS] [SEED]      needs `highspy` and `numpy` from PyPI
       packing.py PACKDOWN uniform [SEED]

Every load is solved twice: by the program, and as a set cover over every full way to fill a package,
which HiGHS solves to proven optimality. The counts must be equal and no lower bound may lie above
them. Loads have few kinds, so that all ways can be listed.

`uniform` makes 20 loads of 120 and 20 of 500 items by the recipe of the published sets u120 and u500
(OR-Library binpack1 and binpack3: sizes 20 to 100, cap 150; recipe from memory), which no registry
package was found to carry. A plan that is as short as its sum is optimal by arithmetic; for any other
HiGHS solves the relaxed arc-flow model (Valerio de Carvalho 1999, from memory), which no plan goes
below.
"""
import json
import math
import random
import subprocess
import sys
import tempfile

import highspy
import numpy as np


def ways(cap, kinds, demand, limit=20_000):
    """Every full way to fill one package, or None where there are too many."""
    found = []

    def deeper(at, room, chosen):
        if len(found) > limit:
            return
        if at == len(kinds):
            full = not any(
                n < d and all(s <= r for s, r in zip(size, room))
                for n, d, size in zip(chosen, demand, kinds)
            )
            if full:
                found.append(chosen)
            return
        most = min([demand[at]] + [r // s for r, s in zip(room, kinds[at]) if s])
        for n in range(most, -1, -1):
            deeper(at + 1, [r - n * s for r, s in zip(room, kinds[at])], chosen + [n])

    deeper(0, cap, [])
    return None if len(found) > limit else found


def fewest(cap, items):
    """The proven least number of packages, or None."""
    count = {}
    for item in items:
        count[tuple(item)] = count.get(tuple(item), 0) + 1
    kinds = sorted(count, reverse=True)
    demand = [count[kind] for kind in kinds]
    all_ways = ways(cap, kinds, demand)
    if all_ways is None:
        return None
    model = highspy.Highs()
    model.silent()
    model.setOptionValue("time_limit", 20.0)
    model.setOptionValue("mip_rel_gap", 0.0)
    none = np.array([], dtype=np.int32), np.array([], dtype=float)
    for d in demand:
        model.addRow(float(d), highspy.kHighsInf, 0, *none)
    for way in all_ways:
        used = [i for i, n in enumerate(way) if n]
        values = np.array([float(way[i]) for i in used])
        model.addCol(1.0, 0.0, highspy.kHighsInf, len(used), np.array(used, dtype=np.int32), values)
    n = len(all_ways)
    whole = np.array([highspy.HighsVarType.kInteger] * n)
    model.changeColsIntegrality(n, np.arange(n, dtype=np.int32), whole)
    model.run()
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return round(model.getInfo().objective_function_value)


def load(dice, name):
    cap = [dice.choice([30, 150, 1000, 4000]) for _ in range(dice.randint(1, 3))]
    kinds = [
        [dice.randint(max(1, c // 9), c * 6 // 10) for c in cap] for _ in range(dice.randint(2, 7))
    ]
    items = [dice.choice(kinds) for _ in range(dice.randint(8, 70))]
    return {"name": name, "cap": cap, "items": items}


def by_arc_flow(cap, sizes):
    """What no plan of one measure goes below, or None where HiGHS does not say it in time."""
    demand = {}
    for size in sizes:
        demand[size] = demand.get(size, 0) + 1
    # From how full to how full: an item, or nothing more.
    reached, arcs = {0}, []
    for size in sorted(demand, reverse=True):
        for full in sorted(reached):
            reached |= {full + n * size for n in range(demand[size] + 1) if full + n * size <= cap}
    for size in demand:
        arcs += [(full, full + size, size) for full in reached if full + size in reached]
    ends = sorted(reached | {cap})
    arcs += [(a, b, 0) for a, b in zip(ends, ends[1:])]
    model = highspy.Highs()
    model.silent()
    model.setOptionValue("time_limit", 60.0)
    none = np.array([], dtype=np.int32), np.array([], dtype=float)
    row = {full: n for n, full in enumerate(ends)}
    for full in ends:
        # What comes in goes out; at 0 and at the cap the flow begins and ends.
        low, high = (0.0, 0.0) if 0 < full < cap else (-highspy.kHighsInf, highspy.kHighsInf)
        model.addRow(low, high, 0, *none)
    for size, count in demand.items():
        row[-size] = model.getNumRow()
        model.addRow(float(count), highspy.kHighsInf, 0, *none)
    for a, b, size in arcs:
        at, values = [row[a], row[b]], [-1.0, 1.0]
        if size:
            at, values = at + [row[-size]], values + [1.0]
        cost = 1.0 if a == 0 else 0.0
        model.addCol(cost, 0.0, highspy.kHighsInf, len(at), np.array(at, dtype=np.int32), np.array(values))
    model.run()
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return math.ceil(model.getInfo().objective_function_value - 1e-6)


def solved(program, loads):
    """The plans of the program."""
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as file:
        file.write("\n".join(json.dumps(one) for one in loads))
        file.flush()
        run = subprocess.run(
            [program, "pack", "--instance", file.name], check=True, capture_output=True, text=True
        )
    return [json.loads(line) for line in run.stdout.splitlines()]


def uniform(program, seed):
    dice, wrong = random.Random(seed), 0
    for items in (120, 500):
        loads = [
            {
                "name": f"u{items}_{n:02}",
                "cap": [150],
                "items": [[dice.randint(20, 100)] for _ in range(items)],
            }
            for n in range(20)
        ]
        plans = solved(program, loads)
        packages = sums = by_sum = 0
        for one, plan in zip(loads, plans):
            sizes = [item[0] for item in one["items"]]
            placed = sorted(item for package in plan["bins"] for item in package)
            full = max(sum(sizes[item] for item in package) for package in plan["bins"])
            least = -(-sum(sizes) // 150)
            packages, sums = packages + plan["count"], sums + least
            if plan["count"] == least:
                by_sum += 1
            else:
                least = by_arc_flow(150, sizes)
            good = placed == list(range(items)) and full <= 150 and plan["count"] == len(plan["bins"])
            if not good or least != plan["count"] or plan["lower_bound"] > plan["count"]:
                wrong += 1
                print("DIFFERS", one["name"], least, plan["count"], plan["lower_bound"])
        print(f"u{items}: {packages} packages, the sums need {sums}; {by_sum} of 20 as short as the sum")
    sys.exit(1 if wrong else 0)


def main():
    program = sys.argv[1]
    if sys.argv[2:3] == ["uniform"]:
        uniform(program, int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    number = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    dice = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    loads = [load(dice, f"load {n}") for n in range(number)]
    plans = solved(program, loads)
    compared = proven = wrong = 0
    for one, plan in zip(loads, plans):
        proven += plan["proven"]
        least = fewest(one["cap"], one["items"])
        if least is None:
            continue
        compared += 1
        if plan["count"] != least or plan["lower_bound"] > least:
            wrong += 1
            print("DIFFERS", least, plan["count"], plan["lower_bound"], json.dumps(one))
    print(f"{number} loads, {compared} compared, {proven} proven by the program, {wrong} differ")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
