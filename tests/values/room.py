"""Writes room.csv: concentrations in a well-mixed room by a general integrator (scipy), not by a closed form.

steady: a source of `grams` an hour from an empty room; coat: `grams` laid at once, leaving the film with the time
constant `tau_minutes`; brushed: the same laid evenly over `laid_minutes`."""
import csv
from scipy.integrate import solve_ivp

CASES = [
    # kind, m³, changes an hour, mixing, grams, tau, laid, hours
    ("steady", 100, 1, 1, 100, 0, 0, 1), ("steady", 100, 1, 1, 100, 0, 0, 4), ("steady", 60, 2, 3, 250, 0, 0, 0.5),
    ("steady", 60, 6, 3, 250, 0, 0, 2), ("steady", 150, 0.5, 1, 40, 0, 0, 8), ("steady", 75, 0, 3, 30, 0, 0, 5),
    ("coat", 60, 2, 3, 120, 5, 0, 0.1), ("coat", 60, 2, 3, 120, 5, 0, 1), ("coat", 60, 2, 3, 120, 80, 0, 3),
    ("coat", 40, 0, 3, 200, 20, 0, 2), ("coat", 90, 3, 1, 50, 20, 0, 0.5),
    ("brushed", 60, 2, 3, 120, 5, 30, 0.25), ("brushed", 60, 2, 3, 120, 5, 30, 1), ("brushed", 45, 4, 5, 300, 45, 60, 4),
]


def concentration(kind, volume, changes, mixing, grams, tau, laid, hours):
    pace = changes / mixing / 60
    if kind == "steady":
        run = lambda t, y: [grams / 60 - pace * y[0]]
        start, stops = [0.0], [hours * 60]
    else:
        def run(t, y):
            on = grams / laid if laid and t < laid else 0.0
            return [y[1] / tau - pace * y[0], on - y[1] / tau]
        start, stops = [0.0, 0.0 if laid else grams], sorted({min(laid, hours * 60), hours * 60} - {0})
    now, state = 0.0, start
    for stop in stops:  # the brush lifting is a corner: step up to it, not over it
        laying = kind != "brushed" or now < laid
        f = run if laying else (lambda t, y: [y[1] / tau - pace * y[0], -y[1] / tau])
        state = list(solve_ivp(f, (now, stop), state, method="DOP853", rtol=1e-12, atol=1e-12,
                               max_step=0.05 * max(stop - now, 1e-9)).y[:, -1])
        now = stop
    return state[0] / volume


with open("room.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["kind", "volume_m3", "changes_per_hour", "mixing", "grams", "tau_minutes", "laid_minutes", "hours", "g_m3"])
    for case in CASES:
        rows.writerow([*case, f"{concentration(*case):.10f}"])
