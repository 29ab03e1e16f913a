#!/usr/bin/env python3
"""Compares `packdown pack --instance` with HiGHS on random loads; not part of `cargo test`.

usage: packing.py PACKDOWN [LOADS] [SEED]      needs `highspy` and `numpy` from PyPI

Every load is solved twice: by the program, and as a set cover over every full way to fill a package,
which HiGHS solves to proven optimality. The counts must be equal and no lower bound may lie above
them. Loads have few kinds, so that all ways can be listed.
"""
import json
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


def main():
    program = sys.argv[1]
    number = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    dice = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    loads = [load(dice, f"load {n}") for n in range(number)]
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as file:
        file.write("\n".join(json.dumps(one) for one in loads))
        file.flush()
        run = subprocess.run(
            [program, "pack", "--instance", file.name], check=True, capture_output=True, text=True
        )
    plans = [json.loads(line) for line in run.stdout.splitlines()]
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
