#!/usr/bin/env python3
"""Compares friction, elbows, size changes and junctions with the fluids library.

compare_fluids.py [N [SEED]]: N random inputs for each formula. Fails if one number differs by more than
the tolerance of its formula. Run from anywhere inside the repository.
"""
import json
import math
import random
import subprocess
import sys
from pathlib import Path

import fluids.atmosphere
import fluids.core
import fluids.fittings as fit
import fluids.friction

ROOT = Path(__file__).resolve().parents[2]
N = int(sys.argv[1]) if len(sys.argv) > 1 else 400
SEED = int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(2**31)
rnd = random.Random(SEED)

RHO = lambda: rnd.uniform(0.7, 1.5)
MU = lambda: rnd.uniform(1.5e-5, 2.3e-5)


def log_uniform(low, high):
    return math.exp(rnd.uniform(math.log(low), math.log(high)))


def darcy(re, rel):
    return fluids.friction.Clamond(re, rel)


def turbulent(hydraulic, area, low=4100):
    """A flow, a roughness, a density and a viscosity that make the flow turbulent."""
    while True:
        v, rho, mu = rnd.uniform(0.8, 25), RHO(), MU()
        if rho * v * hydraulic / mu > low:
            return v * area, log_uniform(1e-6, min(4e-3, 0.04 * hydraulic)), rho, mu


def rate(hydraulic, v, eps, rho, mu):
    re = fluids.core.Reynolds(V=v, D=hydraulic, rho=rho, mu=mu)
    return darcy(re, eps / hydraulic) * rho * v * v / 2 / hydraulic


def rate_round():
    d = log_uniform(0.06, 2)
    q, eps, rho, mu = turbulent(d, math.pi * d * d / 4)
    return [d, q, eps, rho, mu], rate(d, q / (math.pi * d * d / 4), eps, rho, mu)


def rate_rect():
    w, h = log_uniform(0.1, 2), log_uniform(0.1, 1)
    dh = 2 * w * h / (w + h)
    q, eps, rho, mu = turbulent(dh, w * h)
    return [w, h, q, eps, rho, mu], rate(dh, q / (w * h), eps, rho, mu)


def friction_factor():
    re = log_uniform(10, 2290) if rnd.random() < 0.3 else log_uniform(4000, 1e8)
    rel = 0 if rnd.random() < 0.1 else log_uniform(1e-7, 0.05)
    return [re, rel], 64 / re if re < 2300 else darcy(re, rel)


def elbow():
    a, r, f = rnd.uniform(5, 180), log_uniform(0.5, 10), rnd.uniform(0.01, 0.05)
    return [a, r, f], fit.bend_rounded(Di=0.3, angle=a, fd=f, bend_diameters=r, method="Rennels")


def expansion():
    b, a, f = rnd.uniform(0.1, 0.98), rnd.uniform(2, 180), rnd.uniform(0.01, 0.05)
    return [b * b, a, f], fit.diffuser_conical(Di1=b, Di2=1, angle=a, fd=f if a <= 60 else 0, method="Rennels")


def contraction():
    b, a, f = rnd.uniform(0.1, 0.98), rnd.uniform(2, 179.9), rnd.uniform(0.01, 0.05)
    return [b * b, a, f], fit.contraction_conical(Di1=1, Di2=b, angle=a, fd=f, method="Rennels")


def sudden_contraction():
    b = rnd.uniform(0.1, 0.98)
    return [b * b, 180, 0], fit.contraction_sharp(Di1=1, Di2=b, method="Rennels")


def tee(angle):
    """Area ratio, flow ratio, angle; and the same as diameters and flows of the other library."""
    b, q, a = rnd.uniform(0.3, 1), rnd.uniform(0.02, 0.98), angle()
    return (b * b, q, a), dict(D_run=1, D_branch=b, Q_run=1 - q, Q_branch=q, angle=a)


def published_angle():
    """The angles Crane has the run of a join for; between 60 and 90 degrees ours is interpolated."""
    return 90 if rnd.random() < 0.3 else rnd.uniform(30, 60)


def run_converging():
    args, theirs = tee(published_angle)
    return list(args), fit.K_run_converging_Crane(**theirs)


def size_change():
    up, down = rnd.uniform(0.1, 1), rnd.uniform(0.1, 1)
    a = rnd.uniform(2, 60)
    q, _, rho, mu = turbulent(max(up, down), math.pi * max(up, down) ** 2 / 4)
    k = (fit.diffuser_conical(Di1=up, Di2=down, angle=a, fd=0, method="Rennels") if up < down
         else fit.contraction_conical(Di1=up, Di2=down, angle=a, fd=0, method="Rennels"))
    v = q / (math.pi * min(up, down) ** 2 / 4)
    return [up, down, a, q, rho, mu], fluids.core.dP_from_K(K=k, rho=rho, V=v)


def whole_tee(k, angle, allowed=lambda ab, q, a: True):
    """A tee with a main that keeps its size, as loss in pascals on the common leg's velocity."""
    def one():
        while True:
            (ab, q, a), theirs = tee(angle)
            if allowed(ab, q, a):
                break
        d = log_uniform(0.1, 1.2)
        total, _, rho, mu = turbulent(d, math.pi * d * d / 4)
        v = total / (math.pi * d * d / 4)
        loss = fluids.core.dP_from_K(K=k(**theirs), rho=rho, V=v)
        return [d, d * math.sqrt(ab), total * (1 - q), total * q, a, rho, mu], loss
    return one


# Crane's constants for wide branches from 60 degrees are another formula than Idelchik's, which is used.
narrow = whole_tee(fit.K_branch_diverging_Crane, lambda: rnd.uniform(15, 74.9),
                   lambda ab, q, a: a < 60 or ab <= 4 / 9)
# Crane rounds twice the cosine to two digits, 1.74 for 1.7321 at most, so that one term of the coefficient
# differs by up to 0.008 q^2 Ac/Ab.
joined = whole_tee(fit.K_branch_converging_Crane, lambda: rnd.choice([30, 45, 60, 90]))


def viscosity():
    t = rnd.uniform(-60, 150)
    return [t], fluids.atmosphere.ATMOSPHERE_1976.viscosity(t + 273.15)


# name of ours, inputs and the other library's number, relative tolerance, absolute tolerance
CHECKS = [
    ("friction_factor", friction_factor, 1e-10, 0),
    ("rate_round", rate_round, 1e-10, 0),
    ("rate_rect", rate_rect, 1e-10, 0),
    ("rennels_elbow", elbow, 1e-10, 0),
    ("expansion", expansion, 1e-9, 1e-12),
    ("contraction", contraction, 1e-9, 1e-12),
    ("contraction", sudden_contraction, 1e-9, 1e-12),
    ("run_converging", run_converging, 1e-9, 1e-10),
    ("fitting_size_change", size_change, 1e-9, 1e-9),
    ("fitting_takeoff", narrow, 1e-9, 1e-9),
    ("fitting_through_join", whole_tee(fit.K_run_converging_Crane, published_angle), 1e-9, 1e-9),
    ("viscosity", viscosity, 1e-6, 0),
]


def main():
    print(f"fluids {fluids.__version__}, {N} random inputs a formula, seed {SEED}")
    asked, wanted = [], []
    for name, draw, rel, ab in CHECKS:
        for _ in range(N):
            args, want = draw()
            asked.append(json.dumps({"name": name, "args": args}))
            wanted.append((name, draw.__name__, args, want, rel, ab))
    # A join's branch is compared with the tolerance of Crane's rounded cosine.
    for _ in range(N):
        args, want = joined()
        ab = (args[1] / args[0]) ** 2
        q = args[3] / (args[2] + args[3])
        pv = args[5] / 2 * ((args[2] + args[3]) / (math.pi * args[0] ** 2 / 4)) ** 2
        asked.append(json.dumps({"name": "fitting_branch_join", "args": args}))
        wanted.append(("fitting_branch_join", "joined", args, want, 0, 0.0085 * q * q / ab * pv + 1e-9))
    done = subprocess.run(["go", "run", "./sizing/internal/dump"], cwd=ROOT, input="\n".join(asked) + "\n",
                          text=True, capture_output=True, check=False)
    if done.returncode:
        sys.exit("dump failed: " + done.stderr)
    answers = [float(x) for x in done.stdout.split()]
    if len(answers) != len(wanted):
        sys.exit(f"{len(answers)} answers to {len(wanted)} questions")
    worst, wrong = {}, 0
    for (name, how, args, want, rel, ab), got in zip(wanted, answers):
        off = abs(got - want)
        if not off <= max(rel * abs(want), ab):  # not <=: catches nan
            wrong += 1
            if wrong <= 20:
                print(f"DIFFERS {name}{tuple(args)}: ours {got!r}, theirs {want!r}", file=sys.stderr)
        key = f"{name} ({how})"
        worst[key] = max(worst.get(key, 0), off / max(abs(want), 1e-12))
    for key, w in worst.items():
        print(f"  {key:48s} worst relative difference {w:.1e}")
    if wrong:
        sys.exit(f"{wrong} of {len(wanted)} numbers differ")
    print(f"{len(wanted)} numbers agree")


main()
