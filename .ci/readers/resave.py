#!/usr/bin/python3
"""resave.py WRITTEN RESAVED: reads every drawing of the folder WRITTEN with ezdxf and writes it anew into RESAVED, as text, as binary
and, from R2000 on, in the newest version."""
import pathlib
import sys

import ezdxf

written, resaved = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
resaved.mkdir(exist_ok=True)
for path in sorted(written.glob("*.dxf")):
    doc = ezdxf.readfile(path)
    doc.saveas(resaved / path.name)
    doc.saveas(resaved / f"binary-{path.name}", fmt="bin")
    if doc.dxfversion != "AC1009":
        doc.dxfversion = "R2018"
        doc.saveas(resaved / f"newest-{path.name}")
