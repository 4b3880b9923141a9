"""Writes psychrometrics.csv and warming.csv with PsychroLib 2.5.0 (SI, 101325 Pa)."""
import csv
import psychrolib as p

p.SetUnitSystem(p.SI)
PRESSURE = 101325.0

with open("psychrometrics.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["temperature_c", "humidity_percent", "saturation_pa", "dew_or_frost_point_c", "wet_bulb_c", "humidity_ratio_g_per_kg"])
    for double in range(-10, 81, 5):
        t = double / 2
        for rh in range(10, 100, 5):
            rows.writerow([
                f"{t:.1f}", rh,
                f"{p.GetSatVapPres(t):.4f}",
                f"{p.GetTDewPointFromRelHum(t, rh / 100):.4f}",
                f"{p.GetTWetBulbFromRelHum(t, rh / 100, PRESSURE):.4f}",
                f"{1000 * p.GetHumRatioFromRelHum(t, rh / 100, PRESSURE):.5f}",
            ])

with open("warming.csv", "w", newline="") as out:
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["from_c", "from_percent", "to_c", "to_percent"])
    for t, rh, to in [(10, 80, 20), (5, 85, 20), (15, 70, 21), (25, 65, 20), (0, 90, 18), (18, 45, 12), (20, 50, 30)]:
        ratio = p.GetHumRatioFromRelHum(t, rh / 100, PRESSURE)
        rows.writerow([t, rh, to, f"{100 * p.GetRelHumFromHumRatio(to, ratio, PRESSURE):.3f}"])
