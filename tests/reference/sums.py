#!/usr/bin/env python3
"""Reckons the sums of `packdown calc` a second time; not part of `cargo test`. See README.md.

usage: sums.py PACKDOWN [CASES] [SEED]      needs numpy and scipy from PyPI
"""
import json
import pathlib
import random
import subprocess
import sys

import numpy as np
from scipy.integrate import solve_ivp

PROGRAM = sys.argv[1]
CASES = int(sys.argv[2]) if len(sys.argv) > 2 else 300
DICE = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 20261125)
TABLES = pathlib.Path(__file__).resolve().parents[2] / "src" / "reference"
GROUPS = {
    "lfp": ["lfp_prada2013", "lfp_bpx2022"],
    "nmc": ["nmc_chen2020", "nmc_oregan2022", "nmc_mohtat2020", "nmc_bpx2022"],
    "nca": ["nca_kim2011"],
    "lco": ["lco_ai2020", "lco_marquis2019"],
}
FAILED = []


def curve(name):
    lines = (TABLES / f"ocv_{name}.csv").read_text().splitlines()
    rows = [line.split(",") for line in lines if line and not line.startswith("#")]
    head = rows[0]
    soc, ocv = head.index("soc"), head.index("ocv_v")
    table = np.array([[float(row[soc]), float(row[ocv])] for row in rows[1:]])
    return table[:, 0], table[:, 1]


CURVES = {name: curve(name) for names in GROUPS.values() for name in names}


def ask(name, inputs):
    """The program's answers, in order."""
    text = json.dumps(inputs)
    ran = subprocess.run(
        [PROGRAM, "calc", name, "-", "--format", "json"], input=text, capture_output=True, text=True
    )
    if ran.returncode != 0:
        sys.exit(f"{name}: exit {ran.returncode}: {ran.stderr}")
    return json.loads(ran.stdout)


def compare(what, pairs, tolerance, relative=False):
    """Pairs of (program, reference); prints the worst and keeps the failure."""
    worst = 0.0
    for ours, theirs in pairs:
        if (ours is None) != (theirs is None):
            worst = float("inf")
        elif ours is not None:
            apart = abs(ours - theirs)
            worst = max(worst, apart / max(abs(theirs), 1e-12) if relative else apart)
    good = worst <= tolerance
    if not good:
        FAILED.append(what)
    kind = " relative" if relative else ""
    print(f"{'ok  ' if good else 'FAIL'} {what}: {len(pairs)} values, worst {worst:.3g}, "
          f"tolerance {tolerance:g}{kind}")


def charge():
    inputs, low, high, verdicts = [], [], [], []
    for _ in range(CASES):
        chemistry = DICE.choice(list(GROUPS))
        cells = DICE.randint(1, 20)
        soc, ocv = CURVES[GROUPS[chemistry][0]]
        volts = round(float(np.interp(DICE.random(), soc, ocv)) * cells, 2)
        spread = DICE.choice([0, 2, 10, 30])
        meter = DICE.choice([(0.5, 2, 0.01), (0.05, 2, 0.001), (1.0, 5, 0.1)])
        celsius = DICE.choice([5, 15, 25, 35])
        limit = DICE.choice([20, 30, 50])
        inputs.append({
            "chemistry": chemistry, "cells": cells, "module_voltage_v": volts,
            "cell_spread_mv": spread,
            "instrument": dict(zip(("percent_of_reading", "digits", "resolution_v"), meter)),
            "temperature_c": celsius, "rested_h": 24, "current_a": 0, "limit_percent": limit,
        })
        mean = volts / cells
        error = (meter[0] / 100 * volts + meter[1] * meter[2]) / cells
        error += (0.0125 if chemistry == "lfp" else 0.005) + 0.005 + 0.0005 * abs(celsius - 25)
        error += 0.052 if len(GROUPS[chemistry]) == 1 else 0.0
        names = GROUPS[chemistry]
        inverse = lambda v: [float(np.interp(v, CURVES[n][1], CURVES[n][0])) * 100 for n in names]
        low.append(min(inverse(mean - spread / 1000 - error)))
        high.append(max(inverse(mean + spread / 1000 + error)))
        verdicts.append(
            "proven" if high[-1] <= limit else "disproven" if low[-1] > limit else "not_proven"
        )
    answers = ask("state-of-charge", inputs)
    compare("state of charge, low %", [(a["low_percent"], b) for a, b in zip(answers, low)], 0.0501)
    compare("state of charge, high %", [(a["high_percent"], b) for a, b in zip(answers, high)], 0.0501)
    wrong = sum(a["verdict"] != v for a, v in zip(answers, verdicts))
    compare("state of charge, wrong verdicts", [(wrong, 0)], 0)


def discharge():
    cases = [  # chemistry, cells, Ah, from, to, module ohm, load
        ("lfp", 16, 100, 80, 25, 0.012, {"kind": "resistor", "ohm": 5.0}),
        ("lfp", 16, 100, 80, 25, 0.012, {"kind": "current", "ampere": 20}),
        ("lfp", 16, 100, 99, 25, 0.012, {"kind": "power", "watt": 1000}),
        ("nmc", 14, 63, 60, 20, 0.020, {"kind": "resistor", "ohm": 4.7}),
        ("nmc", 14, 63, 90, 30, 0.020, {"kind": "power", "watt": 400}),
    ]
    inputs, hours, energy = [], [], []
    for chemistry, cells, ah, start, end, ohm, load in cases:
        inputs.append({"chemistry": chemistry, "cells": cells, "capacity_ah": ah,
                       "from_percent": start, "to_percent": end, "module_resistance_ohm": ohm,
                       "load": load})
        soc, ocv = CURVES[f"{chemistry}_bpx2022"]

        def ampere(s):
            volts = cells * float(np.interp(s, soc, ocv))
            if load["kind"] == "resistor":
                return volts / (ohm + load["ohm"]), volts
            if load["kind"] == "current":
                return load["ampere"], volts
            # The smaller root of R I^2 - OCV I + P = 0.
            roots = np.roots([ohm, -volts, load["watt"]])
            return float(min(roots.real)), volts

        def slope(_, state):
            current, volts = ampere(state[0])
            return [-current / (3600 * ah), current * (volts - current * ohm)]

        reached = lambda _, state: state[0] - end / 100
        reached.terminal = True
        solved = solve_ivp(slope, [0, 4e5], [start / 100, 0.0], events=reached, rtol=1e-8,
                           max_step=60)
        hours.append(float(solved.t[-1]) / 3600)
        energy.append(float(solved.y[1][-1]) / 3600)
    answers = ask("discharge", inputs)
    compare("discharge, hours", [(a["hours"], b) for a, b in zip(answers, hours)], 1e-3)
    compare("discharge, Wh", [(a["energy_wh"], b) for a, b in zip(answers, energy)], 5e-4, True)


def energy():
    inputs, low, high = [], [], []
    for _ in range(CASES):
        chemistry = DICE.choice(list(GROUPS))
        a, b = sorted(DICE.uniform(0, 100) for _ in range(2))
        health = DICE.uniform(0.5, 1.0)
        inputs.append({"chemistry": chemistry, "marked_energy_wh": 5120, "low_percent": a,
                       "high_percent": b, "health_low": health})
        share = lambda s: [part(name, s / 100) for name in GROUPS[chemistry]]
        low.append(5120 * health * min(share(a)))
        high.append(5120 * max(share(b)))
    answers = ask("energy", inputs)
    compare("energy inside, low Wh", [(a["low_wh"], b) for a, b in zip(answers, low)], 0.0501)
    compare("energy inside, high Wh", [(a["high_wh"], b) for a, b in zip(answers, high)], 0.0501)


def part(name, to):
    soc, ocv = CURVES[name]
    area = lambda end: np.trapezoid(np.interp(x := np.linspace(0, end, 20_001), soc, ocv), x)
    return float(area(to) / area(1.0))


def wait():
    inputs, seconds = [], []
    for _ in range(CASES):
        ohm, farad = 10 ** DICE.uniform(2, 6), 10 ** DICE.uniform(-6, -2)
        start, end = DICE.uniform(61, 1000), DICE.choice([50, 60])
        inputs.append({"resistance_ohm": ohm, "capacitance_f": farad, "from_v": start, "to_v": end,
                       "resistance_tolerance": 0.05, "capacitance_tolerance": 0.2})
        tau = ohm * 1.05 * farad * 1.2
        seconds.append(tau * (np.log(start) - np.log(end)))
    answers = ask("wait", inputs)
    compare("wait, s", [(a["computed_s"], b) for a, b in zip(answers, seconds)], 0.00501)
    short = sum(a["required_s"] < b for a, b in zip(answers, seconds))
    compare("waits required that are too short", [(short, 0)], 0)


def lift():
    inputs, limits, indices = [], [], []
    for _ in range(CASES):
        load, team = DICE.uniform(5, 60), DICE.randint(1, 3)
        ends = [(DICE.uniform(20, 62), DICE.uniform(0, 170), DICE.uniform(0, 130)) for _ in "od"]
        grip = DICE.choice(["good", "fair", "poor"])
        keys = ("h_cm", "v_cm", "a_deg")
        inputs.append({"units": "metric", "load_kg": load, "origin": dict(zip(keys, ends[0])),
                       "destination": dict(zip(keys, ends[1])), "lifts_per_min": 0.2,
                       "duration_h": 1, "coupling": grip, "team": team})
        travel = max(abs(ends[0][1] - ends[1][1]), 25)
        both = []
        for h, v, a in ends:
            coupling = {"good": 1, "fair": 0.95 if v < 75 else 1, "poor": 0.9}[grip]
            both.append(23 * min(1, 25 / h) * (1 - 0.003 * abs(v - 75)) * (0.82 + 4.5 / travel)
                        * (1 - 0.0032 * a) * coupling)
        limits.append(both[0])
        indices.append(load / min(both) / {1: 1, 2: 4 / 3, 3: 1.5}[team])
    answers = ask("lift", inputs)
    compare("lift, limit kg", [(a["origin"]["rwl_kg"], b) for a, b in zip(answers, limits)], 0.00501)
    compare("lift, index", [(a["lifting_index"], b) for a, b in zip(answers, indices)], 0.00501)


def arc():
    inputs, heat, far = [], [], []
    for _ in range(CASES):
        volts, amps = DICE.uniform(100, 1000), DICE.uniform(500, 20_000)
        seconds, cm = DICE.uniform(0.1, 2), DICE.uniform(30, 100)
        inputs.append({"system_voltage_v": volts, "short_circuit_a": amps, "duration_s": seconds,
                       "distance_cm": cm})
        # Half the voltage and half the current in the arc, all of it as a sphere's heat times the
        # constant of the method.
        heat.append(0.01 * volts * amps / 2 * seconds / cm**2)
        far.append(cm * np.sqrt(heat[-1] / 1.2))
    answers = ask("arc", inputs)
    compare("arc, cal/cm2", [(a["incident_energy_cal_cm2"], b) for a, b in zip(answers, heat)], 0.00501)
    compare("arc, boundary cm", [(a["boundary_cm"], b) for a, b in zip(answers, far)], 0.0501)


def trend():
    inputs, slopes = [], []
    for _ in range(CASES):
        minutes = sorted(DICE.sample(range(0, 120), 5))
        air = [round(DICE.uniform(10, 20), 1) for _ in minutes]
        over = [round(DICE.uniform(0.5, 6), 1) for _ in minutes]
        inputs.append({"readings": [
            {"minute": m, "surface_c": round(a + o, 1), "ambient_c": a}
            for m, a, o in zip(minutes, air, over)]})
        slopes.append(float(np.polyfit(minutes, over, 1)[0]))
    answers = ask("trend", inputs)
    compare("trend, K/min", [(a["slope_k_per_min"], b) for a, b in zip(answers, slopes)], 6e-5)


def two_readings():
    inputs, ohms = [], []
    for _ in range(CASES):
        volts = DICE.uniform(40, 800)
        weak, strong = 10 ** DICE.uniform(3, 6), 10 ** DICE.uniform(6.3, 8)
        known = 10 ** DICE.uniform(4, 6)
        # Divider: the weak side reads less; the known resistor goes across the strong one.
        less = volts * weak / (weak + strong)
        parallel = strong * known / (strong + known)
        inputs.append({"method": "two_reading", "pole_to_pole_v": volts,
                       "negative_to_case_v": less, "positive_to_case_v": volts - less,
                       "known_ohm": known, "with_known_v": volts * parallel / (weak + parallel),
                       "nominal_voltage_v": volts})
        ohms.append(weak)
    answers = ask("insulation", inputs)
    compare("two readings, ohm", [(a["ohm"], b) for a, b in zip(answers, ohms)], 1e-3, True)


def health():
    inputs, low, high = [], [], []
    for _ in range(CASES):
        a, b = sorted(DICE.uniform(60, 100) for _ in range(2))
        c, d = sorted(DICE.uniform(0, 50) for _ in range(2))
        ah, err = DICE.uniform(20, 60), DICE.uniform(0, 3)
        inputs.append({"rated_capacity_ah": 100, "removed_ah": ah, "removed_error_percent": err,
                       "start_low_percent": a, "start_high_percent": b, "end_low_percent": c,
                       "end_high_percent": d})
        # By sampling every corner of the box instead of the formula.
        corners = [ah * (1 + e / 100) / (s - t) * 100 for e in (-err, err) for s in (a, b)
                   for t in (c, d)]
        low.append(min(corners))
        high.append(max(corners))
    answers = ask("health", inputs)
    compare("health, low Ah", [(x["capacity_low_ah"], y) for x, y in zip(answers, low)], 0.00501)
    compare("health, high Ah", [(x["capacity_high_ah"], y) for x, y in zip(answers, high)], 0.00501)


def self_discharge():
    inputs, rates = [], []
    for _ in range(CASES):
        soc, ocv = CURVES["nmc_bpx2022"]
        at, loss = DICE.uniform(0.2, 0.9), DICE.uniform(0.0005, 0.02)
        hours = DICE.uniform(24, 72)
        first, second = (float(np.interp(s, soc, ocv)) for s in (at, at - loss))
        points = [{"soc": float(s), "ocv_v": float(v)} for s, v in zip(soc, ocv)]
        inputs.append({"chemistry": "nmc", "first_cell_v": first, "second_cell_v": second,
                       "hours_apart": hours, "first_temperature_c": 20, "second_temperature_c": 20,
                       "rested": True, "meter_error_mv": 0, "curve": points})
        rates.append(loss * 100 * 24 / hours)
    answers = ask("self-discharge", inputs)
    pairs = [(a["percent_per_day"], b) for a, b in zip(answers, rates)
             if a["percent_per_day"] is not None]
    # The program takes the slope at the middle, the reference the true loss along the curve.
    compare("self-discharge, %/day", pairs, 0.1, True)


def recycling():
    # 10 t of home-storage modules, (EU) 2025/606: all counted, C O Fe P left out, only O left out.
    cases = [(10.0, 6.298, 62.98), (7.022, 4.828, 68.75), (9.135, 6.298, 68.94)]
    inputs = [{"kind": "lithium", "on": "2026-12-31", "input_t": i, "output_t": o,
               "materials": [{"material": "lithium", "input_t": 0.1003, "output_t": 0.0752}]}
              for i, o, _ in cases]
    answers = ask("recycling-rates", inputs)
    rates = [next(r["percent"] for r in a["rates"] if "efficiency" in r["of"]) for a in answers]
    compare("recycling efficiency, %", list(zip(rates, (c[2] for c in cases))), 0.01001)


for sum_ in (charge, discharge, energy, wait, lift, arc, trend, two_readings, health,
             self_discharge, recycling):
    sum_()
sys.exit(1 if FAILED else 0)
