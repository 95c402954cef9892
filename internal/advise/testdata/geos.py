"""Answers for each line of JSON, a list of polygons (outer ring, holes...), by GEOS:
the width of the thinnest place, and of the finest gap: twice the least distance by
which the area must shrink, or grow, until it comes apart, closes up or is gone.
GEOS's buffers share nothing with the centre lines that are checked."""
import json
import sys

from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

SMALLEST, STEP, LARGEST, FINE = 0.01, 1.05, 30, 1e-4


def topology(g):
    parts = [p for p in getattr(g, "geoms", [g]) if not p.is_empty]
    return len(parts), sum(len(p.interiors) for p in parts)


def first_change(area, sign):
    whole = topology(area)
    changed = lambda d: topology(area.buffer(sign * d, 32)) != whole
    low, high = 0, SMALLEST
    while not changed(high):
        low, high = high, high * STEP
        if high > LARGEST:
            return None
    while high - low > FINE:
        middle = (low + high) / 2
        low, high = (low, middle) if changed(middle) else (middle, high)
    return low + high


for line in sys.stdin:
    area = unary_union([Polygon(p[0], p[1:]) for p in json.loads(line)])
    print(json.dumps({"thin": first_change(area, -1), "gap": first_change(area, 1)}))
