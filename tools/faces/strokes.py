"""Turns an SVG font of single strokes into the table of a face of lines.

The letters of these fonts run back over their own lines, which would set a row
of stones twice. The lines are taken apart where they meet, pieces that lie on
one another are kept once, and what meets most nearly straight is joined again.
"""
import html
import math
import re
import sys
import xml.etree.ElementTree as ET

from shapely.geometry import LineString
from shapely.ops import unary_union

WELD = 12  # units of 1000 to the em: ends nearer than this are one point
STRAIGHT = math.radians(75)  # lines that meet turn less than this to be one


def cubic(p, t):
    a, b, c, d = p
    u = 1 - t
    return tuple(u**3 * a[i] + 3 * u * u * t * b[i] + 3 * u * t * t * c[i] + t**3 * d[i] for i in (0, 1))


def polylines(d):
    out, tokens, i = [], re.findall(r"[A-Za-z]|-?[\d.]+(?:e-?\d+)?", d), 0
    command = ""

    def point():
        nonlocal i
        i += 2
        return float(tokens[i - 2]), float(tokens[i - 1])

    while i < len(tokens):
        if tokens[i].isalpha():
            command = tokens[i]
            i += 1
        if command == "M":
            out.append([point()])
            command = "L"
        elif command == "L":
            out[-1].append(point())
        elif command == "C":
            ends = [out[-1][-1], point(), point(), point()]
            out[-1] += [cubic(ends, k / 12) for k in range(1, 13)]
        elif command == "Z":
            out[-1].append(out[-1][0])
        else:
            raise SystemExit(f"unknown command {command}")
    return out


def weld(lines):
    """Brings points that are nearly one together, so that retraced lines match."""
    seen, out = [], []
    for line in lines:
        moved = []
        if len(line) == 2 and math.dist(*line) < WELD:
            out.append(line)
            continue
        for p in line:
            q = next((s for s in seen if math.dist(p, s) < WELD), None)
            if q is None:
                seen.append(p)
                q = p
            if not moved or moved[-1] != q:
                moved.append(q)
        if len(moved) > 1:
            out.append(moved)
    return out


def turn(a, b, c):
    d = math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
    return abs((d + math.pi) % (2 * math.pi) - math.pi)


def joined(pieces):
    """Chains pieces through their shared ends, the straightest pairs first."""
    ends = {}
    for i, p in enumerate(pieces):
        for e in (0, -1):
            ends.setdefault(p[e], []).append((i, e))
    mate = {}
    for at, here in ends.items():
        pairs = []
        for m, (i, e) in enumerate(here):
            for j, f in here[m + 1:]:
                a, c = pieces[i][1 if e == 0 else -2], pieces[j][1 if f == 0 else -2]
                pairs.append((turn(a, at, c), (i, e), (j, f)))
        for angle, x, y in sorted(pairs):
            if x not in mate and y not in mate and (angle < STRAIGHT or len(here) == 2):
                mate[x], mate[y] = y, x
    used, out = set(), []

    def walk(i, e):  # from the end e of piece i
        line = []
        while i not in used:
            used.add(i)
            p = pieces[i] if e == 0 else pieces[i][::-1]
            line += p if not line else p[1:]
            out_end = (i, -1 if e == 0 else 0)
            if out_end not in mate:
                break
            i, e = mate[out_end]
        return line

    for i in range(len(pieces)):
        for e in (0, -1):
            if i not in used and (i, e) not in mate:
                out.append(walk(i, e))
    for i in range(len(pieces)):
        if i not in used:
            out.append(walk(i, 0))
    return out


SMOOTH = math.radians(50)  # a turn of less is a point of a curve, not a corner
LONG = 200  # units: a chord longer than this is straight
DOT = 70  # units: a closed line within this is a dot


def rounded(line):
    """Draws a curve through the points of a line that turn little, by cubic Hermite pieces."""
    closed = line[0] == line[-1]
    n = len(line)

    def direction(i, into):
        """The direction at point i: into is the chord that asks."""
        chord = lambda a, b: (b[0] - a[0], b[1] - a[1])
        before = line[i - 1] if i > 0 else (line[-2] if closed else None)
        after = line[i + 1] if i + 1 < n else (line[1] if closed else None)
        if before is None or after is None or turn(before, line[i], after) > SMOOTH:
            return into
        for c in (chord(before, line[i]), chord(line[i], after)):
            if math.hypot(*c) > LONG:
                return c
        a, b = chord(before, line[i]), chord(line[i], after)
        la, lb = math.hypot(*a), math.hypot(*b)
        return a[0] / la * lb + b[0] / lb * la, a[1] / la * lb + b[1] / lb * la

    out = [line[0]]
    for i in range(n - 1):
        p, q = line[i], line[i + 1]
        c = (q[0] - p[0], q[1] - p[1])
        length = math.hypot(*c)
        if length <= LONG:
            u, v = direction(i, c), direction(i + 1, c)
            u, v = (tuple(w * length / math.hypot(*t) for w in t) for t in (u, v))
            for t in (0.25, 0.5, 0.75):
                h = (2 * t**3 - 3 * t * t + 1, t**3 - 2 * t * t + t, 3 * t * t - 2 * t**3, t**3 - t * t)
                out.append(tuple(round(h[0] * p[k] + h[1] * u[k] + h[2] * q[k] + h[3] * v[k]) for k in (0, 1)))
        out.append(q)
    return [q for k, q in enumerate(out) if k == 0 or q != out[k - 1]]


def undotted(line):
    """Makes a small closed line a dot: a stroke so short that it holds one stone."""
    xs, ys = [p[0] for p in line], [p[1] for p in line]
    if line[0] == line[-1] and max(max(xs) - min(xs), max(ys) - min(ys)) < DOT:
        x, y = round((min(xs) + max(xs)) / 2), round((min(ys) + max(ys)) / 2)
        return [(x, y - 1), (x, y + 1)]
    return line


def strokes(d):
    lines = weld([undotted(l) for l in polylines(d)])
    if not lines:
        return [undotted(l) for l in polylines(d) if len(l) > 1]
    merged = unary_union([LineString(l) for l in lines])
    pieces = [list(g.coords) for g in getattr(merged, "geoms", [merged])]
    pieces = [[(round(x), round(y)) for x, y in p] for p in pieces]
    pieces = [[q for k, q in enumerate(p) if k == 0 or q != p[k - 1]] for p in pieces]
    pieces = sorted(p for p in pieces if len(p) > 1)
    return sorted(rounded(l) for l in joined(pieces))


def main(path):
    root = ET.parse(path).getroot()
    space = re.sub(r"\{.*\}", "", root.tag)
    assert space == "svg"
    name = {}
    for line in root.find("{*}metadata").text.splitlines():
        key, colon, value = line.partition(":")
        if colon:
            name[key.strip()] = value.strip()
    print(f"# {name['Font name']}, {name['License']}")
    print(f"# Created by {name['Created by']}, a derivative of {name['A derivative of']} by {name['Designer']}")
    print("# Code point, advance, then the strokes: 1000 units to the em, y up, from the base line.")
    for g in (e for e in root.iter() if e.tag.endswith("}glyph")):
        text = html.unescape(g.get("unicode", ""))
        if len(text) != 1:
            continue
        lines = strokes(g.get("d", ""))
        body = " | ".join(" ".join(f"{x},{y}" for x, y in l) for l in lines)
        print(f"U+{ord(text):04X} {float(g.get('horiz-adv-x')):.0f} {body}".strip())


main(sys.argv[1])
