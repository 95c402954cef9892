"""Writes the DXF fixtures with ezdxf, and what they hold as measured by ezdxf
(curves, blocks, colours) and shapely (areas): expected.json.

    /usr/bin/python3 make_fixtures.py

Debian's python3-ezdxf and python3-shapely. All expected lengths are mm.
"""
import json
import math
import os

import ezdxf
from ezdxf import colors, path
from ezdxf.math import Matrix44, Vec3, fit_points_to_cad_cv
from shapely.geometry import LineString, Polygon
from shapely.ops import linemerge

HERE = os.path.dirname(os.path.abspath(__file__))
FINE = 0.0002  # flattening of the expected curves, in drawing units
MM = {0: 1, 1: 25.4, 4: 1, 5: 10, 6: 1000}
expected = {}


def new(version, units, measurement=1):
    doc = ezdxf.new(version, setup=False)
    if version != "R12":  # which has no unit
        doc.header["$INSUNITS"] = units
        doc.header["$MEASUREMENT"] = measurement
    return doc


def paint(doc, entity, layer, by_block):
    if entity.dxf.hasattr("true_color"):
        return "#%06x" % entity.dxf.true_color
    index = entity.dxf.get("color", 256)
    if index == 0:
        return by_block
    if index == 256:
        layer = doc.layers.get(layer)
        if layer.dxf.hasattr("true_color"):
            return "#%06x" % layer.dxf.true_color
        index = abs(layer.dxf.color)
    return "#000000" if index == 7 else "#%02x%02x%02x" % colors.aci2rgb(index)


def leaves(doc, entities, matrix=Matrix44(), block_layer=None, by_block="#000000"):
    """The paths drawn, with their kind, layer and colour. Blocks are laid out by ezdxf's
    matrices on its paths; its exploded entities cannot hold a circle that is sheared."""
    for e in entities:
        layer = block_layer if block_layer and e.dxf.layer == "0" else e.dxf.layer
        colour = paint(doc, e, layer, by_block)
        if e.dxftype() == "INSERT":
            for one in e.multi_insert():
                yield from leaves(doc, one.block(), one.matrix44() * matrix, layer, colour)
        else:
            yield path.make_path(e).transform(matrix), layer, colour


def measure(doc):
    """Areas (even-odd) and open lengths by layer and colour, and the extent."""
    unit = MM[doc.header.get("$INSUNITS", 0)]
    groups, points = {}, []
    for drawn, layer, colour in leaves(doc, doc.modelspace()):
        # Rounded, since shapely joins ends only where they are the same to the last bit.
        line = [(round(p.x * unit, 4), round(p.y * unit, 4)) for p in drawn.flattening(FINE)]
        points += line
        groups.setdefault((layer, colour), []).append(line)
    out = []
    for (layer, colour), lines in sorted(groups.items()):
        area, open_length = Polygon(), 0.0
        loose = []
        for line in lines:
            if math.dist(line[0], line[-1]) < 1e-3:
                area = area.symmetric_difference(Polygon(line))
            else:
                loose.append(LineString(line))
        merged = linemerge(loose) if loose else None
        if merged is not None:
            parts = getattr(merged, "geoms", [merged])
            rings = [p for p in parts if p.is_ring]
            for p in rings:
                area = area.symmetric_difference(Polygon(p))
            open_length = sum(p.length for p in parts if not p.is_ring)
        out.append({
            "layer": layer, "paint": colour,
            "area": round(area.area, 4), "perimeter": round(area.length, 4),
            "parts": len(getattr(area, "geoms", [area])) if not area.is_empty else 0,
            "open": round(open_length, 4),
        })
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return {"groups": out, "width": round(max(xs) - min(xs), 4), "height": round(max(ys) - min(ys), 4)}


def save(doc, name):
    doc.saveas(os.path.join(HERE, name))
    audit = doc.audit()
    assert not audit.errors, (name, [e.message for e in audit.errors])
    expected[name] = {**measure(doc), "warnings": []}


def lines_r12():
    """A rectangle of four loose lines with gaps under the tolerance, in a file without a unit."""
    doc = new("R12", 0)
    doc.layers.add("RECT", color=5)
    msp = doc.modelspace()
    for a, b in [((0, 0), (40, 0)), ((40.03, 30), (40, 0.04)), ((40, 30.02), (0.03, 30)), ((0, 0.05), (0, 30))]:
        msp.add_line(a, b, dxfattribs={"layer": "RECT"})
    doc.saveas(os.path.join(HERE, "lines-r12.dxf"))
    corners = [(0, 0.025), (40, 0.02), (40.015, 30.01), (0.015, 30)]  # the gaps' middles
    p = Polygon(corners)
    expected["lines-r12.dxf"] = {
        "groups": [{"layer": "RECT", "paint": "#0000ff", "area": p.area, "perimeter": p.length, "parts": 1, "open": 0}],
        "width": 40.03, "height": 30.05, "warnings": ["dxf-unitless"], "loose": 0.05,
    }


def lines_and_arcs():
    """A slot of lines and arcs end to end, and an arc that stays open."""
    doc = new("R2000", 4)
    doc.layers.add("SLOT", color=1)
    msp = doc.modelspace()
    at = {"layer": "SLOT"}
    msp.add_line((30, 10), (0, 10), dxfattribs=at)
    msp.add_arc((0, 5), 5, 90, 270, dxfattribs=at)
    msp.add_line((0, 0), (30, 0), dxfattribs=at)
    msp.add_arc((30, 5), 5, 270, 90, dxfattribs=at)
    msp.add_arc((60, 5), 8, 300, 60, dxfattribs=at)
    save(doc, "lines-and-arcs.dxf")


def bulges():
    """Polylines with bulges of both signs, light and heavy, in inches."""
    doc = new("R2010", 1, 0)
    doc.layers.add("LIGHT", color=3)
    doc.layers.add("HEAVY", color=30)
    msp = doc.modelspace()
    msp.add_lwpolyline([(0, 0, 0, 0, 0), (3, 0, 0, 0, 1), (3, 1, 0, 0, -0.3), (0, 1, 0, 0, 0.5)], close=True, dxfattribs={"layer": "LIGHT"})
    msp.add_lwpolyline([(0, 2, 0, 0, 0.2), (1, 2.5, 0, 0, -2.5), (2, 2, 0, 0, 0.7)], dxfattribs={"layer": "LIGHT"})
    msp.add_polyline2d([(5, 0, 0.4), (6, 0, 0), (6, 1, -0.4), (5, 1, 0)], format="xyb", close=True, dxfattribs={"layer": "HEAVY"})
    save(doc, "bulges-inch.dxf")


def curves():
    doc = new("R2000", 5)  # centimetres
    doc.layers.add("ROUND", color=6)
    doc.layers.add("SPLINE", color=7)
    msp = doc.modelspace()
    msp.add_circle((2, 2), 1.5, dxfattribs={"layer": "ROUND"})
    msp.add_ellipse((6, 2), (1.8, 0.7), 0.45, dxfattribs={"layer": "ROUND"})
    msp.add_ellipse((11, 2), (0, 2), 0.6, 0.5, 4.1, dxfattribs={"layer": "ROUND"})
    msp.add_ellipse((14, 2), (1, 1), 0.5, 5.5, 1.2, dxfattribs={"layer": "ROUND"})
    spline = {"layer": "SPLINE"}
    msp.add_open_spline([(0, 6), (1, 9), (3, 3), (5, 8), (6, 6)], degree=3, dxfattribs=spline)
    # A circle as a rational B-spline of degree 2 (Piegl and Tiller, The NURBS Book, fig. 7.16).
    w = math.sqrt(0.5)
    square = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    s = msp.add_spline(degree=2, dxfattribs=spline)
    s.control_points = [(10 + 2 * x, 7 + 2 * y, 0) for x, y in square]
    s.weights = [1, w, 1, w, 1, w, 1, w, 1]
    s.knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    # Degree 5, uneven knots.
    s = msp.add_spline(degree=5, dxfattribs=spline)
    s.control_points = [(13, 6, 0), (14, 9, 0), (15, 4, 0), (16, 9, 0), (17, 5, 0), (18, 8, 0), (19, 6, 0)]
    s.knots = [0] * 6 + [0.3] + [1] * 6
    save(doc, "curves-cm.dxf")


def fit_points():
    """A spline with fit points only; ezdxf makes the curve that CAD programs make."""
    doc = new("R2007", 4)
    doc.layers.add("FIT", color=2)
    points = [(0, 0), (20, 15), (45, 5), (60, 22), (85, 0)]
    doc.modelspace().add_spline(fit_points=[(x, y, 0) for x, y in points], dxfattribs={"layer": "FIT"})
    doc.saveas(os.path.join(HERE, "fit-points.dxf"))
    curve = fit_points_to_cad_cv([Vec3(p) for p in points])
    line = [(p.x, p.y) for p in curve.flattening(0.0005)]
    xs, ys = [p[0] for p in line], [p[1] for p in line]
    expected["fit-points.dxf"] = {
        "groups": [{"layer": "FIT", "paint": "#ffff00", "area": 0, "perimeter": 0, "parts": 0, "open": round(LineString(line).length, 4)}],
        "width": round(max(xs) - min(xs), 4), "height": round(max(ys) - min(ys), 4), "warnings": ["dxf-fit-points"], "loose": 0.5,
    }


def blocks():
    """Blocks in blocks: base points, uneven scale, turning, rows and columns, mirrored planes,
    layer 0 and colours by block."""
    doc = new("R2013", 4)
    for name, colour in [("LEAF", 3), ("PETAL", 6), ("OUTER", 1)]:
        doc.layers.add(name, color=colour)
    leaf = doc.blocks.new("leaf", base_point=(1, 2))
    leaf.add_lwpolyline([(0, 0, 0, 0, 0.4), (10, 2, 0, 0, 0.4)], close=True, dxfattribs={"layer": "0", "color": 0})
    leaf.add_circle((5, 12), 2, dxfattribs={"layer": "PETAL", "color": 256})
    leaf.add_arc((5, 20), 3, 20, 200, dxfattribs={"layer": "0", "color": 256})
    twig = doc.blocks.new("twig", base_point=(-3, 4))
    twig.add_blockref("leaf", (0, 0), dxfattribs={"layer": "0", "color": 0, "xscale": 1.5, "yscale": 0.8, "rotation": 30})
    twig.add_blockref("LEAF", (40, 0), dxfattribs={"layer": "LEAF", "color": 5, "xscale": -1, "yscale": 1})
    twig.add_line((0, -6), (25, -9), dxfattribs={"layer": "0", "true_color": 0x123456})
    msp = doc.modelspace()
    msp.add_blockref("twig", (10, 10), dxfattribs={"layer": "OUTER", "color": 30})
    msp.add_blockref("twig", (120, 10), dxfattribs={"layer": "OUTER", "rotation": 250, "xscale": 0.7, "yscale": 1.2})
    msp.add_blockref("leaf", (10, 80), dxfattribs={
        "layer": "LEAF", "row_count": 2, "row_spacing": 30, "column_count": 3, "column_spacing": 18, "rotation": 12, "xscale": 0.9, "yscale": 0.9})
    msp.add_blockref("twig", (-160, 90), dxfattribs={"layer": "OUTER", "extrusion": (0, 0, -1), "rotation": 20, "xscale": 1.1, "yscale": 0.9})
    save(doc, "blocks.dxf")


def mirrored():
    """Entities whose plane is seen from behind."""
    doc = new("R2000", 4)
    doc.layers.add("BACK", color=4)
    at = {"layer": "BACK", "extrusion": (0, 0, -1)}
    msp = doc.modelspace()
    msp.add_circle((-10, 10), 6, dxfattribs=at)
    msp.add_arc((-30, 10), 6, 10, 130, dxfattribs=at)
    msp.add_lwpolyline([(-50, 0, 0, 0, 0.5), (-60, 5, 0, 0, 0), (-55, 15, 0, 0, -0.2)], close=True, dxfattribs=at)
    msp.add_ellipse((80, 10), (8, 3), 0.5, 0.3, 3.3, dxfattribs=at)
    msp.add_line((95, 0), (99, 20), dxfattribs={"layer": "BACK", "extrusion": (0, 0, -1)})
    save(doc, "mirrored.dxf")


def nested():
    """Outlines in outlines, apart by layer and by colour."""
    doc = new("R2018", 4)
    doc.layers.add("NEST", color=1)
    doc.layers.add("OTHER", color=1).dxf.true_color = 0x1F4E79
    msp = doc.modelspace()
    for r in (30, 22, 14, 6):
        msp.add_circle((40, 40), r, dxfattribs={"layer": "NEST"})
    msp.add_circle((40, 40), 26, dxfattribs={"layer": "NEST", "color": 5})
    msp.add_lwpolyline([(80, 10), (120, 10), (120, 50), (80, 50)], close=True, dxfattribs={"layer": "OTHER"})
    msp.add_lwpolyline([(90, 20), (130, 20), (130, 40), (90, 40)], close=True, dxfattribs={"layer": "OTHER"})
    msp.add_solid([(80, 60), (100, 60), (80, 80), (100, 80)], dxfattribs={"layer": "OTHER", "true_color": 0xABCDEF})
    save(doc, "nested.dxf")


def hidden():
    doc = new("R2010", 4)
    doc.layers.add("SEEN", color=1)
    doc.layers.add("OFF", color=2).off()
    doc.layers.add("FROZEN", color=3).freeze()
    doc.layers.add("NOPLOT", color=4).dxf.plot = 0
    msp = doc.modelspace()
    for i, name in enumerate(["SEEN", "OFF", "FROZEN", "NOPLOT", "Defpoints", "OFF"]):
        msp.add_circle((10 * i, 0), 4, dxfattribs={"layer": name})
    doc.layout("Layout1").add_circle((0, 0), 50, dxfattribs={"layer": "SEEN"})
    doc.saveas(os.path.join(HERE, "hidden.dxf"))
    circle = {"layer": "SEEN", "paint": "#ff0000", "area": round(math.pi * 16, 4), "perimeter": round(math.pi * 8, 4), "parts": 1, "open": 0}
    expected["hidden.dxf"] = {"groups": [circle], "width": 8, "height": 8, "warnings": [
        "dxf-layer-hidden", "dxf-layer-hidden", "dxf-layer-hidden", "dxf-layer-hidden", "dxf-paper"]}


def unread():
    """All kinds that are not artwork, around one circle."""
    doc = ezdxf.new("R2010", setup=True)
    doc.header["$INSUNITS"] = 4
    msp = doc.modelspace()
    msp.add_circle((0, 0), 10)
    msp.add_text("HERON")
    msp.add_mtext("HERON")
    hatch = msp.add_hatch(color=2)
    hatch.paths.add_polyline_path([(0, 0), (10, 0), (10, 10)], is_closed=True)
    msp.add_linear_dim(base=(0, 20), p1=(0, 0), p2=(10, 0)).render()
    msp.add_point((3, 3))
    msp.add_xline((0, 0), (1, 0))
    msp.add_ray((0, 0), (1, 1))
    msp.add_3dface([(0, 0), (1, 0), (1, 1), (0, 1)])
    msp.add_mesh()
    msp.add_polymesh((3, 3))
    msp.add_circle((5, 5), 3, dxfattribs={"extrusion": (1, 0, 1)})
    msp.add_image(doc.add_image_def("heron.png", (10, 10)), (0, 0), (5, 5))
    msp.add_blockref("missing", (0, 0))
    msp.add_lwpolyline([(-5, 0, 0.5, 0.5), (5, 0, 0.5, 0.5)], format="xyse")
    msp.add_line((0, -5, 0), (0, 5, 3))
    doc.saveas(os.path.join(HERE, "unread.dxf"))
    expected["unread.dxf"] = {
        "groups": [{"layer": "0", "paint": "#000000", "area": round(math.pi * 100, 4), "perimeter": round(math.pi * 20, 4), "parts": 1, "open": 20}],
        "width": 20, "height": 20, "warnings": [
            "dxf-text", "dxf-text", "dxf-hatch", "dxf-dimension", "dxf-point", "dxf-endless", "dxf-endless", "dxf-3d", "dxf-3d", "dxf-3d", "dxf-3d",
            "dxf-picture", "dxf-block", "dxf-width", "dxf-flattened"]}


def doubles():
    """What is drawn twice must not cancel: the same again, turned about, and begun elsewhere."""
    doc = new("R2000", 4)
    msp = doc.modelspace()
    msp.add_circle((10, 10), 8)
    msp.add_circle((10, 10), 8)
    n = 720
    msp.add_lwpolyline([(10 + 8 * math.cos(2 - 2 * math.pi * i / n), 10 + 8 * math.sin(2 - 2 * math.pi * i / n)) for i in range(n)], close=True)
    square = [(30, 0), (50, 0), (50, 20), (30, 20)]
    for a, b in zip(square, square[1:] + square[:1]):
        msp.add_line(a, b)
    for a, b in zip(square, square[1:] + square[:1]):
        msp.add_line(b, a)
    msp.add_line((60, 0), (80, 7))
    msp.add_line((80, 7), (60, 0))
    doc.saveas(os.path.join(HERE, "doubles.dxf"))
    expected["doubles.dxf"] = {
        "groups": [{"layer": "0", "paint": "#000000", "area": round(math.pi * 64 + 400, 4), "perimeter": round(math.pi * 16 + 80, 4), "parts": 2, "open": round(math.hypot(20, 7), 4)}],
        "width": 78, "height": 20, "warnings": ["dxf-doubled"] * 7}


def names():
    """Layer names beyond ASCII, in a code page and in UTF-8."""
    for version, name in (("R2000", "names-cp1251.dxf"), ("R2018", "names-utf8.dxf")):
        doc = new(version, 4)
        if version == "R2000":
            doc.encoding = "cp1251"
        doc.layers.add("Цапля", color=1)
        doc.layers.add("Żuraw ₤", color=2)  # not in the code page
        doc.modelspace().add_circle((0, 0), 5, dxfattribs={"layer": "Цапля"})
        doc.modelspace().add_circle((20, 0), 5, dxfattribs={"layer": "Żuraw ₤"})
        save(doc, name)


def main():
    for make in (lines_r12, lines_and_arcs, bulges, curves, fit_points, blocks, mirrored, nested, hidden, unread, doubles, names):
        make()
    palette = ["#%06x" % c for c in colors.DXF_DEFAULT_COLORS]
    with open(os.path.join(HERE, "expected.json"), "w", encoding="utf-8") as out:
        json.dump({"files": expected, "palette": palette}, out, indent=1, ensure_ascii=False, sort_keys=True)
        out.write("\n")


main()
