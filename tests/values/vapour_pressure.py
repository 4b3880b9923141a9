"""Writes vapour_pressure.csv: the median of the published fits that `thermo` 0.6.1 carries for each substance,
with the lowest and the highest of them."""
import csv
import statistics
from thermo.vapor_pressure import VaporPressure
from thermo import Chemical

SOLVENTS = [
    ("water", "7732-18-5"), ("methanol", "67-56-1"), ("ethanol", "64-17-5"), ("2-propanol", "67-63-0"),
    ("n-butanol", "71-36-3"), ("acetone", "67-64-1"), ("methyl ethyl ketone", "78-93-3"),
    ("methyl isobutyl ketone", "108-10-1"), ("ethyl acetate", "141-78-6"), ("n-butyl acetate", "123-86-4"),
    ("toluene", "108-88-3"), ("xylene", "108-38-3"), ("n-nonane", "111-84-2"), ("n-decane", "124-18-5"),
]

FITS = ["IAPWS_PSAT", "HEOS_FIT", "WAGNER_MCGARRY", "WAGNER_POLING", "ANTOINE_POLING", "DIPPR_PERRY_8E", "VDI_PPDS"]

with open("vapour_pressure.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["solvent", "cas", "molar_mass_g_mol", "temperature_c", "median_pa", "lowest_pa", "highest_pa", "fits"])
    for name, cas in SOLVENTS:
        c = Chemical(cas)
        law = VaporPressure(CASRN=cas, Tb=c.Tb, Tc=c.Tc, Pc=c.Pc, omega=c.omega)
        fits = [fit for fit in FITS if fit in law.all_methods]
        for t in range(0, 50, 5):
            found = [law.calculate(t + 273.15, fit) for fit in fits]
            rows.writerow([name, cas, f"{c.MW:.4f}", t, f"{statistics.median(found):.3f}", f"{min(found):.3f}", f"{max(found):.3f}", len(fits)])
