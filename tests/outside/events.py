#!/usr/bin/env python3
"""Counts of `packdown audit --events` against polars and duckdb, with time and memory side by side.

Not part of `cargo test`. Needs PyPI polars and duckdb.

usage: events.py PACKDOWN EVENTS.csv [ROUNDS]

The definition is the SQL below: rows by module and number, each beside the one before."""
import json
import os
import subprocess
import sys
import time

SQL = [
    """select count(*) filter (seq <> pseq + 1), count(*) filter (from_party <> pto),
    count(*) filter (ts < pts) from (select seq, ts, from_party, lag(seq) over w pseq,
    lag(to_party) over w pto, lag(ts) over w pts from ev
    window w as (partition by module_id order by seq)) where pseq is not null""",
    "select count(*) from (select max(seq) l from ev group by module_id) where l <> 10",
    """select count(*) from (select max(case when kind = 'removed' then ts end) a,
    max(case when kind = 'dispatched' then ts end) z from ev group by module_id)
    where z > a + 365 * 86400""",
]


def duckdb(path):
    import duckdb

    db = duckdb.connect()
    db.execute("set threads = 2")
    db.execute(f"create table ev as from read_csv('{path}')")
    print(json.dumps([n for q in SQL for n in db.execute(q).fetchone()]))


def polars(path):
    import polars as pl

    df = (
        pl.scan_csv(path)
        .select("module_id", "seq", "ts", "kind", "from_party", "to_party")
        .sort("module_id", "seq")
        .collect()
    )
    same = pl.col("module_id") == pl.col("module_id").shift(1)
    rows = (
        df.lazy()
        .select(
            (same & (pl.col("seq") != pl.col("seq").shift(1) + 1)).sum().alias("a"),
            (same & (pl.col("from_party") != pl.col("to_party").shift(1))).sum().alias("b"),
            (same & (pl.col("ts") < pl.col("ts").shift(1))).sum().alias("c"),
        )
        .collect()
        .row(0)
    )
    last = (
        df.lazy()
        .group_by("module_id")
        .agg(
            pl.col("seq").max().alias("l"),
            pl.col("ts").filter(pl.col("kind") == "removed").max().alias("a"),
            pl.col("ts").filter(pl.col("kind") == "dispatched").max().alias("z"),
        )
        .select(
            (pl.col("l") != 10).sum().alias("open"),
            (pl.col("z") > pl.col("a") + 365 * 86400).sum().alias("late"),
        )
        .collect()
        .row(0)
    )
    print(json.dumps(list(rows + last)))


def measured(command):
    begin = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.PIPE)
    out = child.stdout.read()
    _, _, used = os.wait4(child.pid, 0)
    child.returncode = 0
    wall = time.monotonic() - begin
    return out, wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main():
    if sys.argv[1] in ("duckdb", "polars"):
        return globals()[sys.argv[1]](sys.argv[2])
    program, events = sys.argv[1:3]
    rounds = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    ours = [program, "audit", "--events", events, "--format", "json"]
    sides = {
        "packdown": ours,
        "packdown --chain": ours + ["--chain"],
        "polars": [sys.executable, __file__, "polars", events],
        "duckdb": [sys.executable, __file__, "duckdb", events],
    }
    taken = {name: [] for name in sides}
    counts = {}
    for _ in range(rounds):
        for name, command in sides.items():
            out, *cost = measured(command)
            answer = json.loads(out)
            if isinstance(answer, dict):
                answer = [check["count"] for check in answer["checks"][:5]]
            counts[name] = answer
            taken[name].append(cost)
    for name, costs in taken.items():
        middle = [sorted(column)[len(column) // 2] for column in zip(*costs)]
        print(f"{name:17} wall {middle[0]:6.2f} s  cpu {middle[1]:6.2f} s  peak {middle[2]:7.0f} MiB  {counts[name]}")
    if len({tuple(found) for found in counts.values()}) != 1:
        sys.exit("the counts differ")


main()
