"""Writes slab.csv: moisture in a board after a change of the air, by the series of Crank, The Mathematics of
Diffusion (1975), chapter 4 (recalled), with the roots found by scipy. both: both faces follow the air at once;
one: one face does, the other is sealed; skin: both faces have the exchange `s`. `gap` is the straight-line gap that
bends as much as the profile (0 where both faces are alike)."""
import csv
import math
from scipy.integrate import quad
from scipy.optimize import brentq

CASES = [
    # kind, mm, D m²/s, exchange m/s, days
    ("both", 20, 3e-10, 0, 0.5), ("both", 20, 3e-10, 0, 2), ("both", 25, 1e-10, 0, 7), ("one", 20, 3e-10, 0, 1),
    ("one", 20, 3e-10, 0, 5), ("one", 25, 5e-10, 0, 10), ("skin", 16, 3e-10, 5e-9, 1), ("skin", 16, 3e-10, 5e-9, 14),
    ("skin", 20, 1e-10, 3e-8, 7),
]


def rising(length, diffusion, seconds):
    """Share at a depth below the open face of a board `length` thick, sealed below."""
    def at(depth):
        terms = (4 / math.pi / (2 * n + 1) * math.sin((2 * n + 1) * math.pi * depth / 2 / length)
                 * math.exp(-((2 * n + 1) * math.pi / 2 / length) ** 2 * diffusion * seconds) for n in range(400))
        return 1 - sum(terms)
    return at


def row(kind, mm, diffusion, exchange, days):
    h, t = mm / 1000, days * 86400
    if kind == "both":  # half a board, sealed in the middle
        at = rising(h / 2, diffusion, t)
        return quad(at, 0, h / 2, limit=200)[0] / (h / 2), 0.0
    if kind == "one":
        at = rising(h, diffusion, t)
        mean = quad(at, 0, h, limit=200)[0] / h
        moment = quad(lambda d: at(d) * (h / 2 - d), 0, h, limit=200)[0]
        return mean, 12 / h ** 2 * moment
    length = h / 2
    biot = exchange * length / diffusion
    total = 0.0
    for n in range(60):
        low, high = n * math.pi + 1e-12, n * math.pi + math.pi / 2 - 1e-12
        beta = brentq(lambda b: b * math.tan(b) - biot, low, high)
        total += 2 * biot ** 2 * math.exp(-beta ** 2 * diffusion * t / length ** 2) / (beta ** 2 * (beta ** 2 + biot ** 2 + biot))
    return 1 - total, 0.0


with open("slab.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["kind", "thickness_mm", "diffusion_m2_s", "exchange_m_s", "days", "uptake", "gap"])
    for case in CASES:
        uptake, gap = row(*case)
        rows.writerow([*case, f"{uptake:.6f}", f"{gap:.6f}"])
