"""Writes cupping.csv: curvature of a free strip from its balance of force and moment, layer by layer (numpy), not
from a formula. strip: a moisture gap falling evenly from face to face; skin: a layer of one face wetter by the
gap; pair: two layers of thickness `a` and `b` whose stiffnesses stand as `ratio` to 1 and whose free strains
differ by coefficient times gap."""
import csv
import numpy as np

CASES = [
    # kind, coefficient, gap %, thickness, a, b, ratio
    ("strip", 0.00353, 1, 20, 0, 0, 1), ("strip", 0.00248, 0.5, 25, 0, 0, 1), ("strip", 0.00353, 2, 30, 0, 0, 1),
    ("skin", 0.00353, 5.417, 20, 2, 0, 1), ("skin", 0.00212, 11.429, 19, 2, 0, 1), ("skin", 0.00248, 3, 20, 5, 0, 1),
    ("pair", 0.00353, 1, 20, 10, 10, 1), ("pair", 0.00353, 5, 20, 2, 18, 1), ("pair", 0.00353, 2, 20, 5, 15, 3),
    ("pair", 0.00248, 4, 18, 3, 15, 0.5),
]
LAYERS = 400_000


def curvature(kind, coefficient, gap, thickness, a, b, ratio):
    # layer middles, from the wetter face (top) to the drier
    z = thickness * (0.5 - (np.arange(LAYERS) + 0.5) / LAYERS)
    depth = thickness / 2 - z
    stiff = np.where((kind == "pair") & (depth < a), ratio, 1.0)
    wet = 0.5 + z / thickness if kind == "strip" else (depth < a).astype(float)
    free = coefficient * gap * wet
    # stretch e and bend k so that force and moment vanish
    s0, s1, s2 = stiff.sum(), (stiff * z).sum(), (stiff * z * z).sum()
    f0, f1 = (stiff * free).sum(), (stiff * free * z).sum()
    _, bend = np.linalg.solve([[s0, s1], [s1, s2]], [f0, f1])
    return bend


with open("cupping.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["kind", "coefficient", "gap_percent", "thickness_mm", "a_mm", "b_mm", "ratio", "curvature_per_mm"])
    for case in CASES:
        rows.writerow([*case, f"{curvature(*case):.8e}"])
