#!/usr/bin/python3
"""audit.py FILE.dxf...: opens each drawing strictly with ezdxf and fails on any audit error or
fix, and on a drawing without work of ours."""
import sys

import ezdxf

bad = 0
for name in sys.argv[1:]:
    try:
        doc = ezdxf.readfile(name)
    except Exception as err:  # ezdxf raises many kinds
        print(f"{name}: not readable: {type(err).__name__}: {err}")
        bad += 1
        continue
    auditor = doc.audit()
    ours = sum(1 for e in doc.modelspace() if e.has_xdata("TWINLINE"))
    print(f"{name}: {doc.dxfversion}, {len(auditor.errors)} errors, {len(auditor.fixes)} fixes, {ours} entities of ours")
    for row in list(auditor.errors) + list(auditor.fixes):
        print("   ", row.code, row.message)
    if auditor.errors or auditor.fixes or not ours:
        bad += 1
sys.exit(1 if bad else 0)
