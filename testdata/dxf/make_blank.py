#!/usr/bin/env python3
"""Makes the blank drawings that the tests of dxfio draw into, one a version, text and binary, with ezdxf
(a DXF library nobody here wrote): make_blank.py, in this folder. Needs ezdxf (Debian: python3-ezdxf)."""
import pathlib

import ezdxf

here = pathlib.Path(__file__).parent
ezdxf.options.write_fixed_meta_data_for_testing = True  # no random ids
for version in ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"):
    doc = ezdxf.new(version, units=4)
    name = f"blank-{doc.dxfversion}"
    # One entity that is not ours, so that something is there to be left alone.
    doc.modelspace().add_line((0, 0), (100, 50), dxfattribs={"layer": "WALL\u00c9"})
    doc.saveas(here / f"{name}.dxf")
    doc.saveas(here / f"{name}-bin.dxf", fmt="bin")
