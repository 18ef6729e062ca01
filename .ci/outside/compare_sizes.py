#!/usr/bin/env python3
"""Draws random sketches with ezdxf, has them sized, and works everything out again with the fluids library.

compare_sizes.py TWINLINE [N [SEED]]: the program, how many sketches. Of each sketch: airflows add up; the
friction of every run is that of fluids; every size is the smallest of the steps that keeps within the limits
of a metric drawing and is no smaller than what it feeds; paths, deciding path and throttling add up.
"""
import json
import math
import random
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf
import fluids.friction

TWINLINE = sys.argv[1]
N = int(sys.argv[2]) if len(sys.argv) > 2 else 25
SEED = int(sys.argv[3]) if len(sys.argv) > 3 else random.randrange(2**31)
rnd = random.Random(SEED)

# The defaults of a metric drawing.
RATE, VELOCITY = 0.65, 7.5
STEPS = [0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1.0, 1.25, 1.6]
RHO, MU, EPS = 1.204, 1.458e-6 * 293.15**1.5 / (293.15 + 110.4), 0.09e-3
SLACK = 1e-6
ROUNDED = 1e-5  # the numbers come with six decimals, and up to twenty are added up


def friction(flow, d):
    """Pascals a metre in a round duct; none where the flow is not turbulent, where fluids has another rule."""
    v = flow / (math.pi * d * d / 4)
    re = RHO * v * d / MU
    if re < 4000:
        return None
    return fluids.friction.Clamond(re, EPS / d) / d * RHO * v * v / 2


def sketch(path, air):
    """A main with branches to both sides, some of them with branches of their own; lengths in mm."""
    doc = ezdxf.new("R2000")
    doc.header["$INSUNITS"] = 4
    msp = doc.modelspace()
    duct, term, unit = f"SK-{air}-DUCT", f"SK-{air}-TERM", f"SK-{air}-UNIT"
    for name in (duct, term, unit):
        doc.layers.add(name)
    total, count = 0.0, 0

    def terminal(x, y):
        nonlocal total, count
        flow = rnd.randint(15, 260)
        total, count = total + flow / 1000, count + 1
        msp.add_circle((x, y, 3300), 100, dxfattribs={"layer": term})
        for dy, text in ((150, f"T-{count}"), (-250, f"{flow} L/s"), (-500, f"{rnd.randint(1, 40)} Pa")):
            msp.add_text(text, dxfattribs={"layer": term, "height": 100, "insert": (x, y + dy)})

    msp.add_lwpolyline([(-1000, -500), (0, -500), (0, 500), (-1000, 500)], close=True, dxfattribs={"layer": unit})
    msp.add_text("AHU-1", dxfattribs={"layer": unit, "height": 100, "insert": (-700, 0)})
    x = 0
    for _ in range(rnd.randint(1, 7)):
        x += rnd.randint(9000, 12000)
        for side in rnd.choice(((1,), (-1,), (1, -1))):
            length = rnd.randint(6000, 9000)
            msp.add_line((x, 0, 3300), (x, side * length, 3300), dxfattribs={"layer": duct})
            terminal(x, side * length)
            if rnd.random() < 0.5:
                y, reach = side * rnd.randint(3000, 4500), rnd.choice((-1, 1)) * rnd.randint(3000, 3500)
                msp.add_line((x, y, 3300), (x + reach, y, 3300), dxfattribs={"layer": duct})
                terminal(x + reach, y)
    x += 6000
    msp.add_line((0, 0, 3300), (x, 0, 3300), dxfattribs={"layer": duct})
    terminal(x, 0)
    doc.saveas(path)
    return total, count


def near(a, b, what):
    if abs(a - b) > SLACK * max(1, abs(a), abs(b)) + ROUNDED:
        raise SystemExit(f"seed {SEED}: {what}: {a} against {b}")


def check(system, air, total, count):
    near(system["flow_m3s"], total, "flow of the system")
    if len(system["terminals"]) != count:
        raise SystemExit(f"seed {SEED}: {len(system['terminals'])} terminals of {count}")
    outward = air == "SUP"
    runs = {r["id"]: r for r in system["runs"]}
    near_end, far_end = ("from", "to") if outward else ("to", "from")
    by_near = {}
    for r in runs.values():
        by_near.setdefault(r[near_end], []).append(r)
    terminals = {t["node"]: t for t in system["terminals"]}

    def walk(r, lost):
        lost += r["friction_pa"] + r["fitting_pa"]
        node = r[far_end]
        fed = by_near.get(node, [])
        if node in terminals:
            t = terminals[node]
            near(r["flow_m3s"], t["flow_m3s"], f"flow of {r['id']}")
            near(t["path_pa"], lost + t["loss_pa"], f"path of {t['id']}")
        else:
            near(r["flow_m3s"], sum(f["flow_m3s"] for f in fed), f"flow of {r['id']}")
        d, q = r["diameter_m"], r["flow_m3s"]
        want = friction(q, d)
        if want is not None:
            near(r["friction_pa_per_m"], want, f"friction of {r['id']}")
        carried = [walk(f, lost) for f in fed]
        # Pieces of one size between two branches are one stretch: a bend changes nothing.
        limit = max(carried, default=0)
        k = [i for i, s in enumerate(STEPS) if abs(s - d) < 1e-6]
        if not k:
            raise SystemExit(f"seed {SEED}: {r['id']} of {d} m is none of the steps")
        if r["velocity_ms"] > VELOCITY * (1 + SLACK) or r["friction_pa_per_m"] > RATE * (1 + SLACK) or d < limit - SLACK:
            raise SystemExit(f"seed {SEED}: {r['id']} of {d} m is over a limit")
        if k[0] > 0 and len(fed) != 1:
            s = STEPS[k[0] - 1]
            f = friction(q, s)
            if (f is None or f <= RATE * (1 - SLACK)) and q / (math.pi * s * s / 4) <= VELOCITY * (1 - SLACK) and s >= limit:
                raise SystemExit(f"seed {SEED}: {r['id']} of {d} m could be {s} m at {q} m3/s")
        return d

    for r in by_near[system["node"]]:
        walk(r, 0.0)
    most = max(t["path_pa"] for t in system["terminals"])
    near(system["required_pa"], most, "required pressure")
    for t in system["terminals"]:
        near(t["throttle_pa"], most - t["path_pa"], f"throttling of {t['id']}")
        if t["id"] == system["deciding"]:
            near(t["path_pa"], most, "the deciding path")


def main():
    runs = 0
    with tempfile.TemporaryDirectory() as tmp:
        for i in range(N):
            air = rnd.choice(("SUP", "ETA"))
            path = Path(tmp) / f"{i}.dxf"
            total, count = sketch(path, air)
            done = subprocess.run([TWINLINE, "size", "--json", str(path)], capture_output=True, text=True)
            if done.returncode != 0:
                raise SystemExit(f"seed {SEED}: size failed: {done.stderr}{done.stdout[-2000:]}")
            systems = json.loads(done.stdout)["systems"]
            if len(systems) != 1:
                raise SystemExit(f"seed {SEED}: {len(systems)} systems")
            check(systems[0], air, total, count)
            runs += len(systems[0]["runs"])
    print(f"{N} sketches with {runs} runs sized alike (seed {SEED})")


main()
