#!/usr/bin/env python3
"""Solves the problems `cargo bench --bench finishing -- --export FOLDER` wrote with a general constraint solver.

python3 -m pip install ortools
python3 benches/finishing_general.py FOLDER [--seconds 5] [--warm]

Prints for each file when everything is ready by our plan and by the solver's, at equal time on one worker. With
--warm the solver begins from our plan. The package is no dependency of the project.
"""

import argparse
import json
import pathlib

from ortools.sat.python import cp_model


def solve(problem, seconds, warm):
    model = cp_model.CpModel()
    horizon = problem["horizon"]
    tasks = problem["tasks"]
    starts, ends = {}, {}
    busy, closed = [], []
    for task, data in enumerate(tasks):
        if not data["done"]:
            continue
        start = model.new_int_var(data["release"], horizon, f"s{task}")
        starts[task], ends[task] = start, start + data["minutes"]
        if data["hands"] and data["minutes"]:
            interval = model.new_fixed_size_interval_var(start, data["minutes"], f"i{task}")
            busy.append((interval, data["hands"]))
    # hands as one crew: as many as work at a time; what closed hours take is in use
    marks = sorted({0, horizon} | {tick for shifts in problem["shifts"] for shift in shifts for tick in shift})
    hands = len(problem["shifts"])
    for begin, end in zip(marks, marks[1:]):
        there = sum(any(f <= begin and end <= u for f, u in shifts) for shifts in problem["shifts"])
        if there < hands:
            closed.append((model.new_fixed_size_interval_var(begin, end - begin, f"c{begin}"), hands - there))
    model.add_cumulative([one for one, _ in busy + closed], [need for _, need in busy + closed], hands)
    for before, from_start, after, least in problem["waits"]:
        model.add(starts[after] >= (starts[before] if from_start else ends[before]) + least)
    wet, dusty = [], []
    if problem["settle"] is not None:
        for task, data in enumerate(tasks):
            if task not in starts:
                continue
            if data["wet"] is not None:
                settle = problem["settle"]
                length = data["minutes"] + data["wet"] + settle
                wet.append(model.new_fixed_size_interval_var(starts[task] - settle, length, f"w{task}"))
            elif data["dusty"] and data["minutes"]:
                dusty.append(model.new_fixed_size_interval_var(starts[task], data["minutes"], f"d{task}"))
        # many may be wet at a time, many may make dust: one dusty takes the room from all wet ones
        count = len(wet) + 1
        room = [(one, 1) for one in wet]
        crews = [(one, count) for one in dusty]
        if hands == 1:
            model.add_cumulative([one for one, _ in room + crews], [need for _, need in room + crews], count)
        else:
            for dust in dusty:
                model.add_cumulative([one for one, _ in room] + [dust], [1] * len(room) + [count], count)
    for pool, capacity in enumerate(problem["pools"]):
        held = []
        for index, chain in enumerate(problem["chains"]):
            if chain["pool"] != pool:
                continue
            end = model.new_int_var(0, 2 * horizon, f"e{index}")
            for task, tail in chain["last"]:
                model.add(end >= ends[task] + tail)
            size = model.new_int_var(0, 2 * horizon, f"z{index}")
            interval = model.new_interval_var(starts[chain["first"]], size, end, f"h{index}")
            held.append((interval, chain["amount"]))
        if held:
            model.add_cumulative([one for one, _ in held], [need for _, need in held], capacity)
    ready = model.new_int_var(0, 2 * horizon, "ready")
    for task, tail in problem["goal"]:
        if task in ends:
            model.add(ready >= ends[task] + tail)
    model.minimize(ready)
    if warm:
        for task, start in enumerate(problem["ours"]["starts"]):
            if start is not None and task in starts:
                model.add_hint(starts[task], start)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, solver.best_objective_bound
    return int(solver.objective_value), solver.best_objective_bound


def main():
    asked = argparse.ArgumentParser()
    asked.add_argument("folder", type=pathlib.Path)
    asked.add_argument("--seconds", type=float, default=5.0)
    asked.add_argument("--warm", action="store_true")
    asked = asked.parse_args()
    for path in sorted(asked.folder.glob("*.json")):
        problem = json.loads(path.read_text())
        if problem.get("format") != 1:
            continue
        ours = problem["ours"]["ready"]
        theirs, bound = solve(problem, asked.seconds, asked.warm)
        longer = "none found" if theirs is None else f"{theirs} ({100 * (theirs - ours) / ours:+.1f} %)"
        print(f"{path.stem}: ours {ours}, general solver {longer}, its bound {bound:.0f}", flush=True)


if __name__ == "__main__":
    main()
