"""Runs a general constraint solver on the files of `cargo bench --bench published`, for a look side by side.

usage: general_solver.py [--seconds S] [--threads N] [--csv FILE] FOLDER...

Wants the Python package ortools; without it says so and ends with 0. Reads PSPLIB `.sm` files and finishing-like
`.txt` loads and writes the columns of the bench: instance,makespan,bound,seconds,starts. No part of the build.
"""

import argparse
import csv
import pathlib
import sys
import time

DAY = 1440


def numbers(line):
    return [int(word) for word in line.split() if word.lstrip("-").isdigit()]


def section(lines, name, skip):
    at = next(i for i, line in enumerate(lines) if line.strip().startswith(name)) + skip
    rows = []
    for line in lines[at:]:
        if line.startswith("***") or not line.strip():
            break
        rows.append(numbers(line))
    return rows


def project(model, path):
    """Starts, ends and ends that count, from a PSPLIB file."""
    lines = path.read_text(errors="replace").splitlines()
    follows = section(lines, "PRECEDENCE RELATIONS", 2)
    requests = section(lines, "REQUESTS/DURATIONS", 3)
    capacities = section(lines, "RESOURCEAVAILABILITIES", 2)[0]
    horizon = sum(row[2] for row in requests)
    starts = [model.new_int_var(0, horizon, "") for _ in requests]
    minutes = [row[2] for row in requests]
    spans = [model.new_fixed_size_interval_var(s, m, "") for s, m in zip(starts, minutes)]
    for row in follows:
        for after in row[3:]:
            model.add(starts[after - 1] >= starts[row[0] - 1] + minutes[row[0] - 1])
    for pool, capacity in enumerate(capacities):
        asks = [(span, row[3 + pool]) for span, row in zip(spans, requests) if row[3 + pool] > 0 and row[2] > 0]
        model.add_cumulative([span for span, _ in asks], [ask for _, ask in asks], capacity)
    return starts, [start + m for start, m in zip(starts, minutes)], horizon


def load(model, cp_model, path):
    """The same from a finishing-like load."""
    rows = [line.split() for line in path.read_text().splitlines() if line.strip()]
    head = next([int(word) for word in row[1:]] for row in rows if row[0] == "H")
    operations = [[int(word) for word in row[1:]] for row in rows if row[0] == "O"]
    lags = [[int(word) for word in row[1:]] for row in rows if row[0] == "L"]
    hands, places, vapour, days, opens, closes = head
    starts, ends, by_hand, held, fumes, air = [], [], [], [], [], []
    for _, _, kind, minutes, wet, hold, fume_minutes, fume in operations:
        allowed = [[day * DAY + opens, day * DAY + closes - minutes] for day in range(days)]
        start = model.new_int_var_from_domain(cp_model.Domain.from_intervals(allowed), "")

        def span(length, start=start):
            return model.new_fixed_size_interval_var(start, length, "")

        starts.append(start)
        ends.append(start + max(minutes, hold))
        by_hand.append(span(minutes))
        if kind == 0:
            air.append(span(minutes))
        else:
            held.append((span(hold), 1))
            fumes.append((span(fume_minutes), fume))
            air.append(span(wet))
    model.add_cumulative(by_hand, [1] * len(by_hand), hands)
    # dust takes all the air there is, a wet piece one share of it
    shares = max(places, len(operations))
    air = [(one, shares if operation[2] == 0 else 1) for operation, one in zip(operations, air)]
    for asks, capacity in ((held, places), (fumes, vapour), (air, shares)):
        model.add_cumulative([one for one, _ in asks], [ask for _, ask in asks], capacity)
    for before, after, least, most in lags:
        model.add(starts[after] >= starts[before] + least)
        if most >= 0:
            model.add(starts[after] <= starts[before] + most)
    return starts, ends, days * DAY * 2


def main():
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("folders", nargs="+", type=pathlib.Path)
    reader.add_argument("--seconds", type=float, default=1.0)
    reader.add_argument("--threads", type=int, default=2)
    reader.add_argument("--csv", type=pathlib.Path)
    options = reader.parse_args()
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        print("SKIPPED: the Python package ortools is not installed")
        return 0
    files = []
    for folder in options.folders:
        inside = folder.rglob("*") if folder.is_dir() else [folder]
        files.extend(sorted(path for path in inside if path.suffix in (".sm", ".txt")))
    rows = []
    for path in files:
        begun = time.monotonic()
        model = cp_model.CpModel()
        starts, ends, horizon = project(model, path) if path.suffix == ".sm" else load(model, cp_model, path)
        last = model.new_int_var(0, horizon, "last")
        model.add_max_equality(last, ends)
        model.minimize(last)
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = options.seconds
        solver.parameters.num_workers = options.threads
        found = solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        seconds = time.monotonic() - begun
        length = round(solver.objective_value) if found else ""
        bound = round(solver.best_objective_bound)
        order = " ".join(str(solver.value(start)) for start in starts) if found else ""
        rows.append([path.name, length, bound, f"{seconds:.3f}", order])
        print(f"{path.parent.name}/{path.name}: {length or 'none'} after {seconds:.2f} s, bound {bound}")
    if options.csv:
        with options.csv.open("w", newline="") as out:
            csv.writer(out).writerows([["instance", "makespan", "bound", "seconds", "starts"], *rows])
    return 0


if __name__ == "__main__":
    sys.exit(main())
