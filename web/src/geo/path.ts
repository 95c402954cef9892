// Outlines as the server gives them: SVG path data with absolute commands.

export interface Point {
  x: number;
  y: number;
}

/** How far a chord may leave its curve, mm: a tenth of what a cutter shows. */
const flat = 0.02;

/**
 * Flattens path data (M L H V C Q Z, absolute; SVG 2, section 9.3) into rings.
 * What it does not know ends the path: an outline is for looking and snapping.
 */
export function rings(d: string): Point[][] {
  const tokens = d.match(/[a-zA-Z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?/g) ?? [];
  const out: Point[][] = [];
  let ring: Point[] = [];
  let at: Point = { x: 0, y: 0 };
  let i = 0;
  let command = '';
  const number = () => Number(tokens[i++]);
  const point = (): Point => ({ x: number(), y: number() });
  const add = (p: Point) => {
    ring.push(p);
    at = p;
  };
  while (i < tokens.length) {
    if (/[a-zA-Z]/.test(tokens[i]!)) command = tokens[i++]!;
    switch (command) {
      case 'M':
        ring = [];
        out.push(ring);
        add(point());
        command = 'L';
        break;
      case 'L':
        add(point());
        break;
      case 'H':
        add({ x: number(), y: at.y });
        break;
      case 'V':
        add({ x: at.x, y: number() });
        break;
      case 'C':
        curve(ring, at, point(), point(), (at = point()));
        break;
      case 'Q': {
        const c = point();
        const to = point();
        curve(ring, at, mix(at, c, 2 / 3), mix(to, c, 2 / 3), to);
        at = to;
        break;
      }
      case 'Z':
      case 'z':
        if (ring[0]) at = ring[0];
        break;
      default:
        return out;
    }
  }
  return out;
}

function mix(a: Point, b: Point, t: number): Point {
  return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t };
}

/** Appends a cubic Bézier in equal steps of its parameter, as many as its bend wants. */
function curve(ring: Point[], a: Point, b: Point, c: Point, d: Point): void {
  const bend = Math.max(
    Math.hypot(a.x - 2 * b.x + c.x, a.y - 2 * b.y + c.y),
    Math.hypot(b.x - 2 * c.x + d.x, b.y - 2 * c.y + d.y),
  );
  // The error of n chords is at most 6·bend / (8·n²): the second derivative bounds it.
  const steps = Math.min(200, Math.max(1, Math.ceil(Math.sqrt((0.75 * bend) / flat))));
  for (let k = 1; k <= steps; k++) {
    const t = k / steps;
    const s = 1 - t;
    ring.push({
      x: s * s * s * a.x + 3 * s * s * t * b.x + 3 * s * t * t * c.x + t * t * t * d.x,
      y: s * s * s * a.y + 3 * s * s * t * b.y + 3 * s * t * t * c.y + t * t * t * d.y,
    });
  }
}

/** Says whether a point lies in an area, its rings read even-odd. */
export function inside(area: Point[][], p: Point): boolean {
  let odd = false;
  for (const ring of area) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const a = ring[i]!;
      const b = ring[j]!;
      if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) odd = !odd;
    }
  }
  return odd;
}

/** The nearest point of an outline and its distance; Infinity for an outline without points. */
export function nearest(area: Point[][], p: Point, closed: boolean): { at: Point; distance: number } {
  let best = { at: p, distance: Infinity };
  for (const ring of area) {
    const last = closed ? ring.length : ring.length - 1;
    for (let i = 0; i < last; i++) {
      const at = onSegment(ring[i]!, ring[(i + 1) % ring.length]!, p);
      const distance = Math.hypot(at.x - p.x, at.y - p.y);
      if (distance < best.distance) best = { at, distance };
    }
  }
  return best;
}

function onSegment(a: Point, b: Point, p: Point): Point {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const long = dx * dx + dy * dy;
  const t = long === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / long));
  return { x: a.x + t * dx, y: a.y + t * dy };
}
