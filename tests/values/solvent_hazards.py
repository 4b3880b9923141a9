"""Writes solvent_hazards.csv and vapour_volume.csv with the Python packages `chemicals` 1.5.2 and `thermo` 0.6.1.

solvent_hazards.csv: molar mass, density and vapour pressure at 20 °C (`thermo`), flash points and lower explosive
limits by the table of `chemicals` they stand in (IEC 60079-20-1:2010, NFPA 497:2008, the DIPPR values of Serat
(2017)); an empty cell where a table has none.
Densities are from a measured fit where the library has one; else the cell is empty, and for the rows of Table
G-11 a handbook value at 20 °C from memory stands in (last column says so).
vapour_volume.csv: molar mass and density at 70 °F of the pure solvents of 29 CFR 1910.94 Table G-11, beside the
vapour volumes and limits of that table (the table itself from memory, not read)."""
import csv
from chemicals import T_flash
from chemicals.safety import LFL
from thermo import Chemical
from thermo.volume import VolumeLiquid

SOLVENTS = [
    ("acetone", "67-64-1"), ("methyl ethyl ketone", "78-93-3"), ("methyl isobutyl ketone", "108-10-1"),
    ("ethyl acetate", "141-78-6"), ("n-butyl acetate", "123-86-4"), ("isobutyl acetate", "110-19-0"),
    ("methanol", "67-56-1"), ("ethanol", "64-17-5"), ("2-propanol", "67-63-0"), ("n-butanol", "71-36-3"),
    ("isobutanol", "78-83-1"), ("toluene", "108-88-3"), ("xylene", "1330-20-7"), ("xylene", "108-38-3"),
    ("ethylbenzene", "100-41-4"), ("2-butoxyethanol", "111-76-2"), ("dipropylene glycol methyl ether", "34590-94-8"),
    ("1-methoxy-2-propanol", "107-98-2"), ("1-methoxy-2-propyl acetate", "108-65-6"),
    ("diacetone alcohol", "123-42-2"), ("n-nonane", "111-84-2"), ("n-decane", "124-18-5"),
    ("alpha-pinene", "80-56-8"), ("d-limonene", "5989-27-5"), ("turpentine", "8006-64-2"),
]
IEC, NFPA, SERAT = "IEC 60079-20-1 (2010)", "NFPA 497 (2008)", "Serat DIPPR (2017)"


def cell(value, digits=4):
    return "" if value is None else f"{value:.{digits}f}"


def looked_up(table, cas, method):
    try:
        return table(CASRN=cas, method=method)
    except Exception:
        return None


def pure(cas, kelvin):
    try:
        return Chemical(cas, T=kelvin)
    except Exception:
        return None  # a blend the library has no molecule for


MEASURED = ["DIPPR_PERRY_8E", "VDI_PPDS", "HEOS_FIT"]
HANDBOOK = {"123-92-2": 0.871, "111-76-2": 0.901, "110-80-5": 0.930, "108-21-4": 0.872}


def density(c, kelvin):
    law = VolumeLiquid(CASRN=c.CAS, MW=c.MW, Tb=c.Tb, Tc=c.Tc, Pc=c.Pc, Vc=c.Vc, Zc=c.Zc, omega=c.omega)
    method = next((method for method in MEASURED if method in law.all_methods), None)
    return method and c.MW / 1e6 / law.calculate(kelvin, method)


with open("solvent_hazards.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["solvent", "cas", "molar_mass_g_mol", "density_20c_kg_l", "vapour_pressure_20c_pa",
                   "flash_iec_c", "flash_nfpa_c", "flash_dippr_c", "lel_iec_percent", "lel_nfpa_percent"])
    for name, cas in SOLVENTS:
        c = pure(cas, 293.15)
        flash = [looked_up(T_flash, cas, method) for method in (IEC, NFPA, SERAT)]
        lel = [looked_up(LFL, cas, method) for method in (IEC, NFPA)]
        rows.writerow([name, cas, cell(c and c.MW), cell(c and density(c, 293.15)), cell(c and c.Psat, 1)]
                      + [cell(f and f - 273.15, 2) for f in flash] + [cell(x and 100 * x, 2) for x in lel])

# solvent, CAS, ft³ of vapour a US gallon at 70 °F, LEL in per cent: Table G-11 from memory
G_11 = [
    ("acetone", "67-64-1", 44.0, 2.6), ("isoamyl acetate", "123-92-2", 21.6, 1.0),
    ("n-butyl acetate", "123-86-4", 24.8, 1.7), ("n-butyl alcohol", "71-36-3", 35.2, 1.4),
    ("2-butoxyethanol", "111-76-2", 24.8, 1.1), ("2-ethoxyethanol", "110-80-5", 33.6, 1.8),
    ("cyclohexanone", "108-94-1", 31.2, 1.1), ("ethyl acetate", "141-78-6", 32.8, 2.5),
    ("ethyl alcohol", "64-17-5", 55.2, 4.3), ("methyl acetate", "79-20-9", 40.0, 3.1),
    ("methyl alcohol", "67-56-1", 80.8, 7.3), ("methyl ethyl ketone", "78-93-3", 36.0, 1.8),
    ("n-propyl acetate", "109-60-4", 27.2, 2.8), ("isopropyl acetate", "108-21-4", 28.0, 1.1),
    ("n-propyl alcohol", "71-23-8", 44.8, 2.1), ("isopropyl alcohol", "67-63-0", 44.0, 2.0),
    ("toluene", "108-88-3", 30.4, 1.4), ("o-xylene", "95-47-6", 26.4, 1.0),
]
with open("vapour_volume.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["solvent", "cas", "molar_mass_g_mol", "density_70f_kg_l", "density_from", "g11_ft3_per_gal", "g11_lel_percent"])
    for name, cas, volume, lel in G_11:
        c = Chemical(cas)
        fitted = density(c, (70 - 32) / 1.8 + 273.15)
        source = "thermo" if fitted else "handbook from memory"
        rows.writerow([name, cas, f"{c.MW:.4f}", f"{fitted or HANDBOOK[cas]:.5f}", source, volume, lel])
