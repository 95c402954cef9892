"""Reads DXF files with ezdxf and prints for each what it holds, and the audit's findings, as JSON on a line."""
import json
import sys

import ezdxf

for name in sys.argv[1:]:
    doc = ezdxf.readfile(name)
    audit = doc.audit()
    space = doc.modelspace()
    print(json.dumps({
        "version": doc.dxfversion,
        "units": doc.units,
        "errors": [e.message for e in audit.errors],
        "fixes": [e.message for e in audit.fixes],
        "extmin": list(doc.header["$EXTMIN"]),
        "extmax": list(doc.header["$EXTMAX"]),
        "layers": [layer.dxf.name for layer in doc.layers],
        "entities": [
            {
                "kind": e.dxftype(),
                "layer": e.dxf.layer,
                "centre": list(e.dxf.center)[:2] if e.dxftype() == "CIRCLE" else None,
                "radius": e.dxf.radius if e.dxftype() == "CIRCLE" else 0,
                "closed": bool(e.closed) if e.dxftype() == "LWPOLYLINE"
                else bool(e.is_closed) if e.dxftype() == "POLYLINE" else False,
                "points": [list(p[:2]) for p in e.get_points("xy")] if e.dxftype() == "LWPOLYLINE"
                else [list(p)[:2] for p in e.points()] if e.dxftype() == "POLYLINE"
                else [list(e.dxf.start)[:2], list(e.dxf.end)[:2]] if e.dxftype() == "LINE" else [],
            }
            for e in space
        ],
    }))
