"""Checks areas with GEOS (through shapely): one JSON case a line on stdin, one JSON answer a line on stdout.

A shape is a list of polygons, a polygon a list of rings, the outer one first.
"""
import json
import sys

from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.ops import polygonize, unary_union
from shapely.validation import explain_validity


def area_of(shape):
    return MultiPolygon([Polygon(p[0], p[1:]) for p in shape])


def clean(shape):
    """The shape as GEOS takes it, mended if it does not."""
    g = area_of(shape)
    return g if g.is_valid else g.buffer(0)


def winding(rings, x, y):
    n = 0
    for r in rings:
        ax, ay = r[-1]
        for bx, by in r:
            if (ay <= y) != (by <= y):
                side = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
                if ay <= y and side > 0:
                    n += 1
                elif by <= y and side < 0:
                    n -= 1
            ax, ay = bx, by
    return n


def fill(rings, evenodd):
    """The faces that all rings cut the plane into, those kept that the rule counts as covered (SVG 1.1, 11.3)."""
    lines = unary_union([LineString(r + r[:1]) for r in rings if len(r) > 1])
    kept = []
    for face in polygonize(lines):
        p = face.representative_point()
        n = winding(rings, p.x, p.y)
        if n % 2 if evenodd else n:
            kept.append(face)
    return unary_union(kept)


def boolean(kind, a, b):
    return {"union": a.union, "intersect": a.intersection, "subtract": a.difference}[kind](b)


def answer(case):
    got = area_of(case["result"])
    out = {"valid": "" if got.is_valid else explain_validity(got)}
    op = case["op"]
    if op == "fill":
        want = fill(case["rings"], case["evenodd"])
    elif op == "inset":
        source = clean(case["shape"])
        want = source.buffer(-case["d"], 32)
        out["near"] = got.boundary.distance(source.boundary) if case["result"] else -1
    else:
        want = boolean(op, clean(case["shape"]), clean(case["other"]))
    if not got.is_valid:
        got = got.buffer(0)
    out["area"] = want.area
    out["diff"] = want.symmetric_difference(got).area
    return out


for line in sys.stdin:
    print(json.dumps(answer(json.loads(line))))
