"""Writes drying.csv (time factors against 23 °C and 50 %) and draught.csv (paces against 0.15 m/s), written out
independently of denib's code."""
import csv
import math
import psychrolib as p
from thermo import Chemical
from thermo.vapor_pressure import VaporPressure

p.SetUnitSystem(p.SI)
PRESSURE, GAS, STATED_T, STATED_RH = 101325.0, 8.314462618, 23.0, 50.0


def depression(t, rh):
    return t - p.GetTWetBulbFromRelHum(t, rh / 100, PRESSURE)


def pressure_of(cas):
    c = Chemical(cas)
    law = VaporPressure(CASRN=cas, Tb=c.Tb, Tc=c.Tc, Pc=c.Pc, omega=c.omega)
    return lambda t: law.T_dependent_property(t + 273.15)


with open("drying.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["law", "temperature_c", "humidity_percent", "time_factor"])
    for t in (10, 15, 18, 20, 23, 25, 30):
        for rh in (30, 50, 65, 75, 85):
            lacking = lambda t, rh: p.GetSatVapPres(t) * (1 - rh / 100)
            rows.writerow(["deficit", t, rh, f"{lacking(STATED_T, STATED_RH) / lacking(t, rh):.5f}"])
            rows.writerow(["coalescence", t, rh, f"{depression(STATED_T, STATED_RH) / depression(t, rh):.5f}"])
    for ea in (40, 50, 100):
        for t in (5, 10, 15, 18, 20, 23, 25, 30, 35):
            factor = math.exp(ea * 1000 / GAS * (1 / (t + 273.15) - 1 / (STATED_T + 273.15)))
            rows.writerow([f"arrhenius {ea}", t, 50, f"{factor:.5f}"])
    for name, cas in (("ethanol", "64-17-5"), ("n-butyl acetate", "123-86-4"), ("n-decane", "124-18-5")):
        vp = pressure_of(cas)
        for t in (5, 10, 15, 18, 20, 23, 25, 30, 35):
            rows.writerow([f"evaporation {name}", t, 50, f"{vp(STATED_T) / vp(t):.5f}"])
    for kelvins in (10, 12 / 1.8):
        for t in (5, 10, 15, 18, 20, 23, 25, 30, 35):
            rows.writerow([f"doubling {kelvins:.5f}", t, 50, f"{2 ** ((STATED_T - t) / kelvins):.5f}"])

STILL = 0.15
with open("draught.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["air_speed_m_s", "carrier", "mackay", "measured", "slow", "fast"])
    for v in (0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 0.75, 1.0, 2.0, 5.0):
        each = [(0.089 + 0.0782 * v) / (0.089 + 0.0782 * STILL), (v / STILL) ** 0.78, (v / STILL) ** 0.10]
        held = [min(2.0, one) for one in each]
        rows.writerow([v] + [f"{one:.5f}" for one in each] + [f"{min(held):.5f}", f"{max(held):.5f}"])
