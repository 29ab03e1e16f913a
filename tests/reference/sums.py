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
ROOT = pathlib.Path(__file__).resolve().parents[2]
TABLES = ROOT / "src" / "reference"
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


def error_of(chemistry, cells, volts, meter, celsius):
    """Volts that one cell may be off by, of a module voltage."""
    error = (meter[0] / 100 * volts + meter[1] * meter[2]) / cells
    error += (0.0125 if chemistry == "lfp" else 0.005) + 0.005 + 0.0005 * abs(celsius - 25)
    return error + (0.052 if len(GROUPS[chemistry]) == 1 else 0.0)


def proving():
    """The highest rested cell that proves a limit: found by trying, not by solving."""
    inputs, theirs = [], []
    for _ in range(CASES):
        chemistry = DICE.choice(list(GROUPS))
        cells, spread = DICE.randint(1, 20), DICE.choice([0, 5, 20])
        meter = DICE.choice([(0.5, 2, 0.01), (0.05, 2, 0.001)])
        celsius, limit = DICE.choice([10, 25, 33]), DICE.choice([20, 30, 50])
        inputs.append({
            "chemistry": chemistry, "cells": cells, "module_voltage_v": 3.3 * cells,
            "cell_spread_mv": spread,
            "instrument": dict(zip(("percent_of_reading", "digits", "resolution_v"), meter)),
            "temperature_c": celsius, "rested_h": 24, "current_a": 0, "limit_percent": limit,
        })
        high = lambda v: max(
            float(np.interp(v + error_of(chemistry, cells, v * cells, meter, celsius),
                            CURVES[n][1], CURVES[n][0])) for n in GROUPS[chemistry]) * 100
        # The highest cell itself is at v; the spread to the mean changes the meter's share by less
        # than a tenth of a millivolt.
        low_v, high_v = 1.0, 4.5
        for _ in range(60):
            middle = (low_v + high_v) / 2
            low_v, high_v = (middle, high_v) if high(middle) <= limit else (low_v, middle)
        theirs.append(low_v)
    answers = ask("state-of-charge", inputs)
    # Rounded down to a millivolt.
    pairs = [(a["proving_cell_voltage_v"] + 0.0005, b) for a, b in zip(answers, theirs)]
    compare("proving cell voltage, V", pairs, 0.00061)


def evidence():
    """Bounds of a count and of a management value, cut with each other."""
    inputs, low, high = [], [], []
    for _ in range(CASES):
        anchor, out = DICE.uniform(80, 100), DICE.uniform(5, 70)
        gain, offset, hours = DICE.uniform(0, 3), DICE.uniform(0, 0.1), DICE.uniform(0, 10)
        counted = anchor - max(out * (1 - gain / 100) - offset * hours, 0)
        # A screen that does not contradict the count.
        percent = DICE.uniform(0, max(counted, 0.1))
        accuracy = DICE.choice([None, 2, 8])
        inputs.append({"chemistry": "lfp", "cells": 16, "limit_percent": 30,
                       "coulomb": {"anchor_high_percent": anchor, "removed_ah": out,
                                   "gain_error_percent": gain, "offset_a": offset, "hours": hours,
                                   "largest_capacity_ah": 100},
                       "management": {"percent": percent, "accuracy_percent": accuracy}})
        width = 5 if accuracy is None else accuracy
        low.append(max(percent - width, 0))
        high.append(min(percent + width, counted, 100))
    answers = ask("state-of-charge", inputs)
    compare("count and screen, low %", [(a["low_percent"], b) for a, b in zip(answers, low)], 0.0501)
    compare("count and screen, high %", [(a["high_percent"], b) for a, b in zip(answers, high)], 0.0501)
    wrong = sum((a["verdict"] == "proven") != (b <= 30) for a, b in zip(answers, high))
    compare("count and screen, wrong verdicts", [(wrong, 0)], 0)


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
    for limit in (120, 60, 50):
        pairs = []
        for question, a in zip(inputs, answers):
            tau = question["resistance_ohm"] * 1.05 * question["capacitance_f"] * 1.2
            at = next(v for v in a["voltage_limits"] if v["limit_v"] == limit)
            pairs.append((at["reached_s"], max(-tau * np.log(limit / question["from_v"]), 0)))
        compare(f"wait, s to {limit} V", pairs, 0.00501)
    joules = [0.5 * q["capacitance_f"] * 1.2 * q["from_v"] ** 2 for q in inputs]
    compare("wait, J", [(a["energy_j"], b) for a, b in zip(answers, joules)], 0.000501)
    watts = [q["from_v"] ** 2 / q["resistance_ohm"] for q in inputs]
    compare("wait, W at first", [(a["first_power_w"], b) for a, b in zip(answers, watts)], 0.000501)
    coulombs = [1.2 * q["capacitance_f"] * q["from_v"] for q in inputs]
    compare("wait, C", [(a["charge_c"], b) for a, b in zip(answers, coulombs)], 5.01e-10)
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


def table_5():
    lines = (TABLES / "niosh_table5_fm.csv").read_text().splitlines()
    rows = [line.split(",") for line in lines if line[:1].isdigit()]
    return np.array([[float(cell) for cell in row] for row in rows])


TABLE_5 = table_5()


def multiplier(often, hours, recovery, low):
    """Table 5, linear between rows, 0 beside a 0 and above 15 a minute."""
    column = 1 if hours <= 1 and recovery >= hours else 3
    if hours > 2 or recovery < 0.3 * hours:
        column = 5
    column += 0 if low else 1
    often = max(often, 0.2)
    if often > 15:
        return 0.0
    rows, values = TABLE_5[:, 0], TABLE_5[:, column]
    after = int(np.searchsorted(rows, often))
    if values[after] == 0:
        return 0.0
    return float(np.interp(often, rows, values))


def limit_of(us, h, v, a, travel, fm, grip):
    """RWL of one end, from the constants of its own system."""
    load, reach, far, knuckle, per, top, term, least, most = (
        (51, 10, 25, 30, 0.0075, 70, 1.8, 10, 70) if us
        else (23, 25, 63, 75, 0.003, 175, 4.5, 25, 175))
    if h > far or v > top or travel > most or a > 135:
        return 0.0
    coupling = {"good": 1, "fair": 0.95 if v < knuckle else 1, "poor": 0.9}[grip]
    return (load * min(1, reach / max(h, reach)) * (1 - per * abs(v - knuckle))
            * (0.82 + term / max(travel, least)) * (1 - 0.0032 * a) * coupling * fm)


def lift_often():
    """Both systems, any frequency and duration, hands by measure or by width."""
    inputs, limits, indices = [], [], []
    for _ in range(CASES):
        us = DICE.random() < 0.5
        unit, mass, scale = ("in", "lb", 1 / 2.54) if us else ("cm", "kg", 1)
        load, often = DICE.uniform(5, 60), DICE.choice([0, 0.1, DICE.uniform(0.2, 16)])
        hours, grip = DICE.choice([0.5, 1, 1.5, 2, 5, 8]), DICE.choice(["good", "fair", "poor"])
        recovery = DICE.choice([None, 0, 0.3, 0.7, 1, 9])
        ends, texts = [], []
        for _ in "od":
            h, v, a = DICE.uniform(15, 70), DICE.uniform(0, 180), DICE.uniform(0, 140)
            h, v = h * scale, v * scale
            text = {f"v_{unit}": v, "a_deg": a}
            if DICE.random() < 0.3:
                width = DICE.uniform(20, 80) * scale
                near = (10 if v < 10 else 8) if us else (25 if v < 25 else 20)
                h = near + width / 2
                text[f"w_{unit}"] = width
            else:
                text[f"h_{unit}"] = h
            ends.append((h, v, a))
            texts.append(text)
        inputs.append({"units": "us" if us else "metric", f"load_{mass}": load, "origin": texts[0],
                       "destination": texts[1], "lifts_per_min": often, "duration_h": hours,
                       "recovery_h": recovery, "coupling": grip})
        fm = multiplier(often, hours, 1e9 if recovery is None else recovery,
                        ends[0][1] < (30 if us else 75))
        travel = abs(ends[0][1] - ends[1][1])
        both = [limit_of(us, *end, travel, fm, grip) for end in ends]
        limits.append(both[1])
        indices.append(load / min(both) if min(both) > 0 else None)
    answers = ask("lift", inputs)
    ours = [a["destination"].get("rwl_kg", a["destination"].get("rwl_lb")) for a in answers]
    compare("lift in both systems, limit", list(zip(ours, limits)), 0.00501)
    pairs = [(a["lifting_index"], b) for a, b in zip(answers, indices)]
    rough = [(a, b) for a, b in pairs if b is None or b < 1000]
    compare("lift in both systems, index", rough, 0.00501)


def tasks():
    inputs, indices = [], []
    for _ in range(CASES):
        hours, count = DICE.choice([1, 2, 8]), DICE.randint(1, 4)
        given = [(DICE.uniform(2, 25), DICE.uniform(8, 23), DICE.uniform(0.2, 3)) for _ in range(count)]
        average = [DICE.uniform(0.5, 1) * load for load, _, _ in given]
        inputs.append({"duration_h": hours, "tasks": [
            {"load_kg": load, "average_load_kg": mean, "firwl_kg": limit, "lifts_per_min": often}
            for (load, limit, often), mean in zip(given, average)]})
        fm = lambda often: multiplier(often, hours, 1e9, True)
        # One line a task: index by itself, frequency, greatest load over its limit.
        lines = sorted(((mean / limit / fm(often) if fm(often) else np.inf, often, load / limit)
                        for (load, limit, often), mean in zip(given, average)), reverse=True)
        index, often = lines[0][0], lines[0][1]
        for _, more, independent in lines[1:]:
            before, after = fm(often), fm(often + more)
            index += independent * (1 / after - 1 / before) if before and after else np.inf
            often += more
        indices.append(float(index) if np.isfinite(index) else None)
    answers = ask("lift-tasks", inputs)
    pairs = [(a["composite_lifting_index"], b) for a, b in zip(answers, indices)]
    compare("several tasks, index", pairs, 0.000501)


def short_circuit():
    inputs, amps = [], []
    for _ in range(CASES):
        volts, ohm = DICE.uniform(3, 60), DICE.uniform(0.005, 0.05)
        row, strings, links = DICE.randint(1, 16), DICE.randint(1, 4), DICE.choice([0, 0.004])
        inputs.append({"module_voltage_v": volts, "module_resistance_ohm": ohm,
                       "modules_in_series": row, "strings_in_parallel": strings,
                       "link_resistance_ohm": links})
        # Strings as conductances beside each other.
        inner = 1 / sum(1 / (row * ohm) for _ in range(strings))
        amps.append(row * volts / (inner + links))
    answers = ask("short-circuit", inputs)
    compare("short circuit, A", [(a["current_a"], b) for a, b in zip(answers, amps)], 0.0501)


def gas():
    inputs, mass, least, cubic, minutes = [], [], [], [], []
    for _ in range(CASES):
        ppm, to = DICE.uniform(50, 2000), DICE.uniform(1, 40)
        wh, room, air, mixing = (DICE.uniform(500, 20_000), DICE.uniform(10, 100),
                                 DICE.uniform(0.01, 0.5), DICE.uniform(1, 10))
        inputs.append({"gas": "hydrogen_fluoride", "ppm": ppm, "energy_wh": wh, "room_m3": room,
                       "air_m3_per_s": air, "to_ppm": to, "mixing_factor": mixing})
        # Ideal gas at 25 degC and 1 atm instead of 24.45 litres a mole.
        per_ppm = 101_325 / (8.314462618 * 298.15) * 20.006 * 1e-3
        mass.append(ppm * per_ppm)
        least.append(wh * 20e-6)
        cubic.append(wh * 20 / (30 * per_ppm))
        # One small step after another, well mixed, then the factor.
        solved = solve_ivp(lambda _, c: -air / room * c, [0, 1e6], [ppm], rtol=1e-10,
                           events=_down_to(to))
        minutes.append(float(solved.t_events[0][0]) * mixing / 60)
    answers = ask("gas", inputs)
    compare("gas, mg/m3", [(a["mg_per_m3"], b) for a, b in zip(answers, mass)], 1e-3, True)
    compare("gas, least kg", [(a["yield_low_kg"], b) for a, b in zip(answers, least)], 5.01e-5)
    compare("gas, air m3", [(a["air_low_m3"], b) for a, b in zip(answers, cubic)], 3e-3, True)
    compare("gas, min", [(a["clearing_min"], b) for a, b in zip(answers, minutes)], 0.0501)


def _down_to(ppm):
    event = lambda _, state: state[0] - ppm
    event.terminal = True
    return event


def materials():
    """kg/kWh again, from the mass fractions of the cells and the densities of the trade study."""
    text = (ROOT / "tests" / "cases" / "composition_cell_mass_fraction.csv").read_text()
    rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    density = {"lfp": (0.14, 0.16, 0.19), "nmc111": (0.15, 0.18, 0.19), "nmc622": (0.20, 0.24, 0.28),
               "nmc811": (0.24, 0.28, 0.34), "nca": (0.24, 0.28, 0.34)}
    heads = [head.strip().lower() for head in rows[0]]
    pairs = []
    for cell, (low, middle, high) in density.items():
        column = next(n for n, head in enumerate(heads) if head.startswith(cell))
        share = {row[0].strip(): float(row[column]) / 100 for row in rows[1:]}
        answer = ask("materials", [{"cell": cell, "energy_wh": 1_000_000}])[0]
        for one in answer["materials"]:
            if one["material"] in share:
                fraction = share[one["material"]]
                pairs += [(one["low_kg"], fraction * 1000 / high),
                          (one["middle_kg"], fraction * 1000 / middle),
                          (one["high_kg"], fraction * 1000 / low)]
    # The table has three places of kg/kWh or more.
    compare("materials, kg of 1 MWh", pairs, 3.0)


def resistance():
    inputs, ohms = [], []
    for _ in range(CASES):
        volts, ampere, ohm = DICE.uniform(40, 60), DICE.uniform(1, 50), DICE.uniform(0.005, 0.05)
        inputs.append({"rated_capacity_ah": 100, "removed_ah": 80, "step": {
            "before_v": volts, "after_v": volts - ampere * ohm, "before_a": 0, "after_a": -ampere}})
        ohms.append(ohm)
    answers = ask("health", inputs)
    compare("step of the current, ohm", [(a["resistance_ohm"], b) for a, b in zip(answers, ohms)], 5.1e-7)


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
    inputs, slopes, steepest = [], [], []
    for _ in range(CASES):
        minutes = sorted(DICE.sample(range(0, 120), 5))
        air = [round(DICE.uniform(10, 20), 1) for _ in minutes]
        over = [round(DICE.uniform(0.5, 6), 1) for _ in minutes]
        inputs.append({"readings": [
            {"minute": m, "surface_c": round(a + o, 1), "ambient_c": a}
            for m, a, o in zip(minutes, air, over)]})
        slopes.append(float(np.polyfit(minutes, over, 1)[0]))
        windows = [np.polyfit(minutes[i:j + 1], over[i:j + 1], 1)[0] for i in range(5)
                   for j in range(i + 3, 5) if minutes[j] - minutes[i] >= 60]
        steepest.append(float(max(windows)) if windows else None)
    answers = ask("trend", inputs)
    compare("trend, K/min", [(a["slope_k_per_min"], b) for a, b in zip(answers, slopes)], 6e-5)
    pairs = [(a["steepest_k_per_min"], b) for a, b in zip(answers, steepest)]
    compare("trend, steepest K/min", pairs, 6e-5)
    wrong = sum(("T1" in a["rules"]) != (b is not None and b * 60 >= 1.2 - 1e-9)
                for a, b in zip(answers, steepest))
    compare("trend, wrong T1", [(wrong, 0)], 0)


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
    inputs, theirs = [], []
    for _ in range(CASES):
        into = np.array([DICE.uniform(0.1, 2) for _ in range(4)])
        share = np.array([DICE.uniform(0, 1) for _ in range(4)])
        parts = DICE.sample(["oxygen", "carbon", "iron", "phosphorus", "chlorine", "sulphur"], 3)
        inputs.append({"kind": "lithium", "on": "2027-12-31", "input_t": float(into.sum()),
                       "output_t": float((into * share).sum()),
                       "left_out": [{"fraction": f, "input_t": float(i), "output_t": float(i * s)}
                                    for f, i, s in zip(parts, into, share)]})
        # What is not left out is the last part alone.
        theirs.append(100 * float(share[3]))
    answers = ask("recycling-rates", inputs)
    pairs = [(a["rates"][0]["percent"], b) for a, b in zip(answers, theirs)]
    compare("recycling with parts left out, %", pairs, 0.00501)


for sum_ in (charge, proving, evidence, discharge, energy, wait, lift, lift_often, tasks, arc,
             short_circuit, trend, two_readings, health, resistance, self_discharge, gas, materials,
             recycling):
    sum_()
sys.exit(1 if FAILED else 0)
