#!/usr/bin/python3
"""Draws worked examples as a drafter would, with ezdxf, and works them out by hand, with fluids for the friction factor.

Run it in its own folder: python3 draw.py. It needs python3-ezdxf and python3-fluids, and writes for each example the sketch,
its settings and a table of what has to come out, with the source of each number. Nothing of Twinline goes into the tables.
"""
import csv
import math
import runpy
from pathlib import Path

import ezdxf
from fluids.friction import Colebrook
from scipy.optimize import brentq

ezdxf.options.write_fixed_meta_data_for_testing = True  # no dates and random names in the files

Sheet = runpy.run_path(str(Path(__file__).parent / "../cases/make.py"))["Sheet"]

INCH, FOOT, CFM, INWG = 0.0254, 0.3048, 0.3048**3 / 60, 249.08891
BY = "worked out with fluids 1.0.22 (Colebrook) and the definitions"


def viscosity(celsius):
    t = celsius + 273.15
    return 1.458e-6 * t**1.5 / (t + 110.4)  # US Standard Atmosphere 1976


def density(celsius, metres):
    """Dry air: ASHRAE Handbook Fundamentals, ch. 1, eq. 3 and the gas law with 287.042 J/(kg K)."""
    return 101325 * (1 - 2.25577e-5 * metres) ** 5.2559 / (287.042 * (celsius + 273.15))


class Air:
    def __init__(self, rho, celsius=20):
        self.rho, self.mu = rho, viscosity(celsius)

    def pv(self, v):
        return self.rho * v * v / 2

    def rate(self, q, area, perimeter, eps):
        d, v = 4 * area / perimeter, q / area
        return Colebrook(self.rho * v * d / self.mu, eps / d) / d * self.pv(v)


def disc(d):
    return math.pi / 4 * d * d, math.pi * d


def rect(w, h):
    return w * h, 2 * (w + h)


def oval(w, h):
    return math.pi / 4 * h * h + h * (w - h), math.pi * h + 2 * (w - h)


def size_for(air, q, rate, eps):
    return brentq(lambda d: air.rate(q, *disc(d), eps) - rate, 0.02, 5, xtol=1e-14)


def spot(a, b):
    """Where a run lies: its ends in metres, the one nearer to the unit first."""
    return "%.10g,%.10g to %.10g,%.10g" % (*a, *b)


def save(name, sheet, settings, rows):
    sheet.save(name)
    Path(name + ".toml").write_text(settings)
    with open(name + ".csv", "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(["what", "of", "value", "tol", "source"])
        for what, of, value, tol, source in rows:
            out.writerow([what, of, f"{value:.10g}" if isinstance(value, float) else value, tol, source])


def lecture():
    """Three outlets on one main, as lectures on duct design have it: loss coefficients given by kind, 0.3 for what goes straight on,
    0.8 for branch and bend, 1.0 for the outlet; exact sizes by the rate the main has at 5 m/s. The layout is that of a public course sheet."""
    source = "layout and coefficients: exercise of a public university lecture on air-conditioning ducts (equal friction, 5 m/s in the main); numbers " + BY
    air, eps = Air(1.204), 0.15e-3
    s = Sheet("R2004", "mm")
    s.unit(0, 0, mark="F-1")
    s.line("SK-SUP-DUCT", (0, 0), (15, 0))
    s.line("SK-SUP-DUCT", (15, 0), (27, 0))
    s.line("SK-SUP-DUCT", (27, 0), (45, 0), (45, -6))
    s.line("SK-SUP-DUCT", (15, 0), (15, -6))
    s.line("SK-SUP-DUCT", (27, 0), (27, -6))
    for mark, x, q in (("1", 15, 1), ("2", 27, 2), ("3", 45, 1)):
        # The outlet at the height of its duct: no drop.
        s.term(x, -6, f"S-{mark} {q} m3/s EL 3300")
    main = math.sqrt(4 * 4 / (math.pi * 5))
    rate = air.rate(4, *disc(main), eps)
    ducts = {"A": (15, 4, 0), "B": (6, 1, 0.8 + 1), "C": (12, 3, 0.3), "D": (6, 2, 0.8 + 1), "E": (18, 1, 0.3), "F": (6, 1, 0.8 + 1)}
    loss, rows = {}, []
    ends = {"A": ((0, 0), (15, 0)), "B": ((15, 0), (15, -6)), "C": ((15, 0), (27, 0)), "D": ((27, 0), (27, -6)),
            "E": ((27, 0), (45, 0)), "F": ((45, 0), (45, -6))}
    for name, (length, q, c) in ducts.items():
        d = size_for(air, q, rate, eps)
        v = q / disc(d)[0]
        loss[name] = rate * length + c * air.pv(v)
        at = spot(*ends[name])
        rows += [("diameter_m", at, d, 1e-6, source), ("velocity_ms", at, v, 1e-6, source), ("friction_pa", at, rate * length, 1e-6, source),
                 ("fitting_pa", at, c * air.pv(v), 1e-6, source)]
    paths = {"S-1": "AB", "S-2": "ACD", "S-3": "ACEF"}
    total = {t: sum(loss[k] for k in p) for t, p in paths.items()}
    most = max(total.values())
    for t in total:
        rows += [("path_pa", t, total[t], 1e-6, source), ("throttle_pa", t, most - total[t], 1e-5, source)]
    rows += [("required_pa", "", most, 1e-6, source), ("deciding", "", max(total, key=total.get), "", source)]
    save("lecture", s, f"""# The loss coefficients of the exercise, by kind; mitred bends, so that lengths run from corner to corner.
[sizing]
rate = "{rate:.12g} Pa/m"
max_velocity = ""
steps = "exact"
elbow_round = 10
elbow_least = 10
[sizing.roughness]
galvanised = "0.15 mm"
[sizing.coefficients]
entry = 0
through = 0.3
reducer = 0
takeoff = 0.8
mitre = 0.8
elbow = 0.8
terminal = 1.0
""", rows)


def records():
    """Extract air of a village archive up in the hills, in inches: kept sizes, grilles with their loss, rectangular mains, coefficients
    noted run by run, on the branch by a table on the common leg, roughness 0.15 mm, 5200 ft, 70 F."""
    source = "made up; numbers " + BY
    air, eps = Air(density((70 - 32) * 5 / 9, 5200 * FOOT), (70 - 32) * 5 / 9), 0.15e-3
    s = Sheet("R12", "inch")

    def at(*p):
        return tuple(c * FOOT for c in p)

    s.unit(0, 0, air="ETA", mark="EF-1")
    duct, note = "SK-ETA-DUCT", "SK-ETA-NOTE"
    s.line(duct, at(0, 0), at(30, 0))
    s.line(duct, at(30, 0), at(50, 0))
    s.line(duct, at(50, 0), at(70, 0))
    s.line(duct, at(30, 0), at(30, 12))
    s.line(duct, at(50, 0), at(50, -10))
    s.text(note, at(12, 0.5), '18"x10" C=0.65')
    s.text(note, at(37, 0.5), '14"x10" C=0.25')
    s.text(note, at(58, 0.5), '10" dia C=0.5')
    s.text(note, at(30.5, 5), '8" dia')
    s.text(note, at(50.5, -5), '10"x6" C=1.1')
    for mark, p, q, dp in (("E-1", (30, 12), 350, 0.08), ("E-2", (50, -10), 400, 0.05), ("E-3", (70, 0), 500, 0.1)):
        s.term(*at(*p), f"{mark} {q} cfm {dp} in.wg EL 11'-0\"", air="ETA")
    parts = {
        "0,0 to 30,0": (30, rect(18 * INCH, 10 * INCH), 1250, 0.65), "30,0 to 50,0": (20, rect(14 * INCH, 10 * INCH), 900, 0.25),
        "50,0 to 70,0": (20, disc(10 * INCH), 500, 0.5), "30,0 to 30,12": (12, disc(8 * INCH), 350, None),
        "50,0 to 50,-10": (10, rect(10 * INCH, 6 * INCH), 400, 1.1),
    }
    loss, rows = {}, []
    for name, (length, (area, perimeter), q, c) in parts.items():
        q *= CFM
        friction = air.rate(q, area, perimeter, eps) * length * FOOT
        v = q / area
        if c is None:  # by the table, -0.2 on the velocity pressure of the common leg
            fitting = -0.2 * air.pv(1250 * CFM / rect(18 * INCH, 10 * INCH)[0])
        else:
            fitting = c * air.pv(v)
        loss[name] = friction + fitting
        where = spot(*[[float(c) * FOOT for c in p.split(",")] for p in name.split(" to ")])
        rows += [("velocity_ms", where, v, 1e-6, source), ("friction_pa", where, friction, 2e-6, source), ("fitting_pa", where, fitting, 2e-6, source)]
    paths = {"E-1": (("0,0 to 30,0", "30,0 to 30,12"), 0.08), "E-2": (("0,0 to 30,0", "30,0 to 50,0", "50,0 to 50,-10"), 0.05),
             "E-3": (("0,0 to 30,0", "30,0 to 50,0", "50,0 to 70,0"), 0.1)}
    total = {t: sum(loss[k] for k in p) + dp * INWG for t, (p, dp) in paths.items()}
    most = max(total.values())
    for t in total:
        rows += [("path_pa", t, total[t], 2e-6, source), ("throttle_pa", t, most - total[t], 2e-5, source)]
    rows += [("required_pa", "", most, 2e-6, source), ("deciding", "", max(total, key=total.get), "", source)]
    save("records", s, """# Air and walls of the site; the branch from a table on the velocity pressure of the common leg.
units = "inch"
[air]
temperature = "70 °F"
altitude = "5200 ft"
[sizing.roughness]
galvanised = "0.15 mm"
[sizing.coefficients]
"takeoff on common" = -0.2
terminal = 0
expander = 0
""", rows)


def nine(design, method):
    """The supply example of nine sections of the ASHRAE Handbook, drawn: coefficients noted section by section, trunk sizes found."""
    source = "ASHRAE Handbook Fundamentals (SI, 2021), ch. 21, example 8, as in testdata/networks/nine_sections*.csv"
    table = [r for r in csv.DictReader(open("../networks/nine_sections.csv")) if r["design"] == design and r["selected"] == "y"]
    by = {r["section"].rstrip("abcd"): r for r in table}
    s = Sheet("R2000", "mm")
    s.unit(0, 0, mark="AHU-1")
    duct, note = "SK-SUP-DUCT", "SK-SUP-NOTE"
    x, spots = 0, {}
    for key, length in (("1", 1.5), ("2", 6), ("4", 6), ("6", 6), ("8", 4.5), ("9", 3)):
        s.line(duct, (x, 0), (x + length, 0))
        spots[key] = ((x, 0), (x + length, 0))
        # A size noted holds for all of a duct between two branches, so that of section 8 has to be noted with that of 9.
        size = {"1": "450x500 ", "2": "ø375 ", "8": f"ø{by['8']['shape_size_mm']} ", "9": "ø200 "}.get(key, "")
        s.text(note, (x + length / 2 - 0.3, 0.25), f"{size}C={by[key]['sumC']}")
        x += length
    for key, at in (("3", 7.5), ("5", 13.5), ("7", 19.5)):
        s.line(duct, (at, 0), (at, -1.5))
        spots[key] = ((at, 0), (at, -1.5))
        s.text(note, (at + 0.2, -0.75), f"ø200 C={by[key]['sumC']}")
    for mark, p in (("B-1", (7.5, -1.5)), ("B-2", (13.5, -1.5)), ("B-3", (19.5, -1.5)), ("B-4", (x, 0))):
        s.term(*p, f"{mark} 380 L/s EL 3300")
    rows = []
    for key, r in by.items():
        where = spot(*spots[key])
        if key != "1":
            rows.append(("diameter_m", where, float(r["shape_size_mm"]) / 1000, 1e-9, source))
        rows += [("velocity_ms", where, float(r["V_calc"]), 1e-6, source), ("friction_pa", where, float(r["dp_duct_calc_Pa"]), 3e-5, source),
                 ("fitting_pa", where, float(r["dp_fitting_calc_Pa"]), 1e-6, source)]
    for r in csv.DictReader(open("../networks/nine_sections_paths.csv")):
        if r["design"] == design:
            rows.append(("path_pa", {"A": "B-1", "B": "B-2", "C": "B-3", "D": "B-4"}[r["path"]], float(r["Pt_sum_of_printed_sections_Pa"]), 0.013, source))
    rate = float(by["2"]["dp_duct_calc_Pa"]) / 6
    save("nine-" + method, s, f"""# Sizes in steps of 25 mm; the friction rate of its second section.
[air]
density = "0.978 kg/m3"
[sizing]
method = "{method}"
rate = "{rate:.12g} Pa/m"
max_velocity = ""
steps = "25 mm"
least = "200 mm"
[sizing.roughness]
galvanised = "0.12 mm"
""", rows)


def walls():
    """What a duct is made of, by note and setting: spiral, plastic, concrete, lined, an office's own, flexible duct pressed together, flat oval.
    Fittings cost nothing here."""
    source = "roughness: ASHRAE Handbook Fundamentals (2021), ch. 21, table 1, or as set; flexible: ibid., eq. 22-23; numbers " + BY
    air = Air(1.2)
    s = Sheet("R2010", "m")
    rows = []
    kinds = [
        ("ø0.315", disc(0.315), 0.09e-3), ("spiral ø0.315", disc(0.315), 0.09e-3), ("plastic ø0.315", disc(0.315), 0.046e-3),
        ("concrete 0.6x0.3", rect(0.6, 0.3), 3e-3), ("lined 25mm ø0.315", disc(0.315), 1.52e-3), ("lined 25mm 0.4x0.3", rect(0.4, 0.3), 1.52e-3),
        ("insul 50mm ø0.315", disc(0.315), 0.09e-3), ("0.55x0.25 oval", oval(0.55, 0.25), 0.09e-3), ("terracotta ø0.315", disc(0.315), 0.6e-3),
        ("brick 0.5x0.5", rect(0.5, 0.5), 2e-3),
    ]
    for i, (text, (area, perimeter), eps) in enumerate(kinds, 1):
        y = s.simple(text, words=f"S-{i} 350 L/s EL 3.3")
        rate = air.rate(0.35, area, perimeter, eps)
        rows += [("friction_pa_per_m", spot((0.3, y), (8, y)), rate, 1e-6, source), ("velocity_ms", spot((0.3, y), (8, y)), 0.35 / area, 1e-6, source)]
    # Flexible duct, 12 % pressed together: its factor on the friction of the installed length at 0.9 mm.
    s.n += 1
    y = 10.0 * s.n
    s.unit(0, y, "SUP", f"U-{s.n}")
    s.line("SK-SUP-FLEX", (0.3, y), (1.9, y))
    s.text("SK-SUP-NOTE", (1, y + 0.2), "ø0.2")
    s.term(1.9, y, "S-1 80 L/s EL 3.3")
    rate = air.rate(0.08, *disc(0.2), 0.9e-3) * (1 + 0.58 * 12 * math.exp(-0.00496 * 200))
    rows.append(("friction_pa_per_m", spot((0.3, y), (1.9, y)), rate, 1e-6, source))
    save("walls", s, """[air]
density = "1.2 kg/m3"
[sizing]
flexible_stretch = 0.88
[sizing.roughness]
terracotta = "0.6 mm"
brick = "2 mm"
""", rows)


lecture()
records()
nine("equal_friction", "equal-friction")
nine("static_regain", "static-regain")
walls()
