#!/usr/bin/python3
"""Draws the sheets of what an outside tester found wrong once, and that has to stay right.

Run it in its own folder: python3 outside.py [name...]. It needs python3-ezdxf. What each sheet has
to come to stands in cmd/internal/pipeline/blackbox_test.go. All places are in metres; the duct of
each system leaves its unit at x = 0.
"""
import math
import sys

import ezdxf

from make import Sheet

ezdxf.options.write_fixed_meta_data_for_testing = True  # the same sketch is to give the same bytes

SHEETS = {}


def sheet(fn):
    SHEETS["outside-" + fn.__name__.replace("_", "-")] = fn
    return fn


class Systems(Sheet):
    """Systems ten metres apart, each with a square unit left of x = 0."""

    def system(self, *ducts, air="SUP", note=None, at=(1, 0.1)):
        """The next unit up the sheet and its ducts, each a list of points; returns its height on the sheet."""
        y, self.n = 10.0 * self.n, self.n + 1
        self.box(f"SK-{air}-UNIT", -1, y - 0.6, 0, y + 0.6)
        self.text(f"SK-{air}-UNIT", (-1, y + 0.7), f"U-{self.n}")
        for d in ducts:
            self.line(f"SK-{air}-DUCT", *[(p[0], p[1] + y, *p[2:]) for p in d])
        if note:
            self.text(f"SK-{air}-NOTE", (at[0], y + at[1]), note)
        return y


@sheet
def staggered():
    """Takeoffs on both sides of a main, less than their width apart."""
    s = Systems()
    for air in ("SUP", "ETA"):
        for d in (0.05, 0.2, 0.25, 0.4):
            y = s.system([(0, 0), (9, 0)], [(4, 0), (4, 3)], [(4 + d, 0), (4 + d, -3)], air=air)
            s.term(9, y, f"A-{s.n} 300 l/s", air)
            s.term(4, y + 3, f"B-{s.n} 100 l/s", air)
            s.term(4 + d, y - 3, f"C-{s.n} 100 l/s", air)
    return s


@sheet
def sloping():
    """A level branch off a main that rises."""
    s = Systems()
    for rise, shape in ((1.0, None), (-0.5, None), (1.0, "rect"), (0.8, "oval")):
        y = s.system([(0, 0, 3.4), (8, 0, 3.4 + rise)], [(4, 0, 3.4 + rise / 2), (4, 4, 3.4 + rise / 2)],
                     [(6, 0, 3.4 + 0.75 * rise), (8, -3, 3.4 + 0.75 * rise)], note=shape)
        s.term(8, y, f"A-{s.n} 300 l/s")
        s.term(4, y + 4, f"B-{s.n} 100 l/s")
        s.term(8, y - 3, f"C-{s.n} 80 l/s")
    return s


@sheet
def steps():
    """Ducts noted by their bottom or top beside others."""
    s = Systems()
    for main, branch in (("400x300", "250x150 BOD 3.6m"), ("400x300", "250x150 BOD 2.8m"), ("400x300 BOD 3.2m", "250x150 BOD 3.2m")):
        y = s.system([(0, 0), (9, 0)], [(5, 0), (5, 4)], note=main)
        s.text("SK-SUP-NOTE", (5.1, y + 1.5), branch)
        s.term(9, y, f"A-{s.n} 200 l/s")
        s.term(5, y + 4, f"B-{s.n} 80 l/s")
    return s


@sheet
def straight_side():
    """A side that stays straight, up to the terminal at the end."""
    s = Systems()
    for note in ("round flat left", "round flat right"):
        y = s.system([(0, 0), (5, 0), (12, 0)], [(5, 0), (5, 4)], note=note)
        s.term(12, y, f"A-{s.n} 60 l/s")
        s.term(5, y + 4, f"B-{s.n} 900 l/s")
    return s


@sheet
def touching():
    """Two elbows with nothing between them."""
    s = Systems()
    for d in (0.4, 0.5, 0.6, 0.8, 1.0):
        y = s.system([(0, 0), (4, 0), (4, d), (8, d)])
        s.term(8, y + d, f"A-{s.n} 200 l/s")
    return s


@sheet
def turning_back():
    """Turns nearly back on themselves, with little room for the way back."""
    s = Systems()
    for turn in (150, 165, 175, -150, -165, -175):
        t = math.radians(turn)
        y = s.system([(0, 0), (6, 0), (6 + 0.9 * math.cos(t), 0.9 * math.sin(t))])
        s.term(6 + 0.9 * math.cos(t), y + 0.9 * math.sin(t), f"A-{s.n} 60 l/s")
    return s


@sheet
def necks():
    """Blocks with necks narrower than their duct."""
    s = Systems()
    s.block("DIFFUSER", 0.6, ("MARK", "FLOW", "NECK", "CONN"))
    for neck, conn in (("ø200", "SIDE"), ("ø160", "TOP"), ("300x150", "SIDE")):
        y = s.system([(0, 0), (6, 0)], note="ø250")
        s.insert("SK-SUP-TERM", "DIFFUSER", (6, y), {"MARK": f"A-{s.n}", "FLOW": "100 l/s", "NECK": neck, "CONN": conn})
    return s


@sheet
def entries():
    """Rectangular branches at every angle, and a size change after each."""
    s = Systems()
    for turn in (30, 45, 60, 75, 90, 105, 120, 135, 150):
        t = math.radians(turn)
        y = s.system([(0, 0), (9, 0)], [(4, 0), (4 + 4 * math.cos(t), 4 * math.sin(t))], note="rect")
        s.term(9, y, f"A-{s.n} 60 l/s")
        s.term(4 + 4 * math.cos(t), y + 4 * math.sin(t), f"B-{s.n} 400 l/s")
    return s


@sheet
def regain():
    """Six plain branches off a long main, to be sized by static regain."""
    s = Systems()
    places, lengths, flows = (5, 10, 16, 22, 27, 33), (3, 4, 2, 4, 3, 4), (200, 120, 300, 80, 150, 220)
    y = s.system([(0, 0), (38, 0)], *[[(x, 0), (x, l * (-1) ** i)] for i, (x, l) in enumerate(zip(places, lengths))])
    s.term(38, y, "Z-1 250 l/s")
    for i, (x, l, q) in enumerate(zip(places, lengths, flows)):
        s.term(x, y + l * (-1) ** i, f"B-{i + 1} {q} l/s")
    return s


if __name__ == "__main__":
    for name in sys.argv[1:] or SHEETS:
        SHEETS[name]().save(name)
