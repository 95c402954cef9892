// Where a stone may stand that is moved by hand: the nearest legal place.

import type { Grid } from './grid';
import { inside, nearest, type Point } from './path';

export interface Stones {
  x: ArrayLike<number>;
  y: ArrayLike<number>;
  /** Largest diameter of each, mm. */
  diameter: (stone: number) => number;
  /** Clear distance each asks for, mm. */
  gap: (stone: number) => number;
}

export interface Ground {
  rings: Point[][];
  open: boolean;
}

export interface Want {
  diameter: number;
  gap: number;
  margin: number;
  /** The stone that is moved: it does not stand in its own way. −1: none. */
  self: number;
}

/** Places as near as this to being too near are legal: the third decimal of what the server sends. */
const near = 0.002;

/** Says whether a stone may stand at the point: far enough from all others and from the outline. */
export function legal(p: Point, want: Want, stones: Stones, grid: Grid, ground: Ground): boolean {
  if (!onGround(p, want, ground)) return false;
  return neighbours(p, want, grid).every((s) => Math.hypot(stones.x[s]! - p.x, stones.y[s]! - p.y) >= least(s, want, stones) - near);
}

function onGround(p: Point, want: Want, ground: Ground): boolean {
  const border = nearest(ground.rings, p, !ground.open);
  if (ground.open) return border.distance <= 0.01;
  return inside(ground.rings, p) && border.distance >= want.diameter / 2 + want.margin - near;
}

function least(s: number, want: Want, stones: Stones): number {
  return (stones.diameter(s) + want.diameter) / 2 + Math.max(stones.gap(s), want.gap);
}

function neighbours(p: Point, want: Want, grid: Grid): number[] {
  // 9 mm is more than the largest stone of the catalogue: no farther stone is in the way.
  return grid.within(p.x, p.y, (want.diameter + 9) / 2 + want.gap + 3).filter((s) => s !== want.self);
}

/**
 * The legal place nearest to `p`, or null where none is within `reach` mm. The
 * nearest place is p itself, on one circle of least distance around a stone, on the
 * line of least distance along the outline, or where two of those meet: all are tried.
 */
export function snap(p: Point, want: Want, stones: Stones, grid: Grid, ground: Ground, reach: number): Point | null {
  const candidates: Point[] = [p];
  const border = nearest(ground.rings, p, !ground.open);
  if (ground.open) {
    candidates.push(border.at);
  } else {
    candidates.push(...inwards(p, want.diameter / 2 + want.margin, ground));
  }
  const around = grid.within(p.x, p.y, reach + (want.diameter + 9) / 2 + want.gap).filter((s) => s !== want.self);
  const circles = around.map((s) => ({ x: stones.x[s]!, y: stones.y[s]!, r: least(s, want, stones) }));
  circles.forEach((c, i) => {
    candidates.push(onCircle(c, p));
    for (const other of circles.slice(i + 1)) candidates.push(...crossings(c, other));
    if (!ground.open) candidates.push(...alongBorder(c, want, ground));
  });
  return best(p, candidates, reach, (q) => legal(q, want, stones, grid, ground));
}

function best(p: Point, candidates: Point[], reach: number, ok: (q: Point) => boolean): Point | null {
  const sorted = candidates
    .map((q) => ({ q, d: Math.hypot(q.x - p.x, q.y - p.y) }))
    .filter(({ d }) => d <= reach)
    .sort((a, b) => a.d - b.d);
  return sorted.find(({ q }) => ok(q))?.q ?? null;
}

/** Points that come from pushing p off the nearest border again and again: the last ones stand in corners too. */
function inwards(p: Point, keep: number, ground: Ground): Point[] {
  const out: Point[] = [];
  let q = p;
  for (let round = 0; round < 6; round++) {
    const border = nearest(ground.rings, q, true);
    const isIn = inside(ground.rings, q);
    if (isIn && border.distance >= keep - near / 2) break;
    q = off(border.at, q, keep, isIn ? 1 : -1);
    out.push(q);
  }
  return out;
}

/** The point at `distance` from a place of the outline, on the line through q; side 1: where q is. */
function off(at: Point, q: Point, distance: number, side: 1 | -1): Point {
  const dx = q.x - at.x;
  const dy = q.y - at.y;
  const long = Math.hypot(dx, dy);
  if (long === 0) return at;
  return { x: at.x + (side * dx * distance) / long, y: at.y + (side * dy * distance) / long };
}

function onCircle(c: { x: number; y: number; r: number }, p: Point): Point {
  const d = Math.hypot(p.x - c.x, p.y - c.y);
  if (d === 0) return { x: c.x + c.r, y: c.y };
  return { x: c.x + ((p.x - c.x) * c.r) / d, y: c.y + ((p.y - c.y) * c.r) / d };
}

function crossings(a: { x: number; y: number; r: number }, b: { x: number; y: number; r: number }): Point[] {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const d = Math.hypot(dx, dy);
  if (d === 0 || d > a.r + b.r || d < Math.abs(a.r - b.r)) return [];
  const along = (a.r * a.r - b.r * b.r + d * d) / (2 * d);
  const high = Math.sqrt(Math.max(0, a.r * a.r - along * along));
  const mx = a.x + (along * dx) / d;
  const my = a.y + (along * dy) / d;
  return [
    { x: mx - (high * dy) / d, y: my + (high * dx) / d },
    { x: mx + (high * dy) / d, y: my - (high * dx) / d },
  ];
}

/** Points of a circle that keep just the least distance to the outline, found by halving between samples. */
function alongBorder(c: { x: number; y: number; r: number }, want: Want, ground: Ground): Point[] {
  const keep = want.diameter / 2 + want.margin;
  const at = (t: number): Point => ({ x: c.x + c.r * Math.cos(t), y: c.y + c.r * Math.sin(t) });
  const depth = (t: number): number => {
    const p = at(t);
    const { distance } = nearest(ground.rings, p, true);
    return (inside(ground.rings, p) ? distance : -distance) - keep;
  };
  const out: Point[] = [];
  const steps = 24;
  let before = depth(0);
  for (let k = 1; k <= steps; k++) {
    const t1 = (2 * Math.PI * k) / steps;
    const after = depth(t1);
    if (before < 0 !== after < 0) out.push(at(halve(depth, t1 - (2 * Math.PI) / steps, t1)));
    before = after;
  }
  return out;
}

function halve(f: (t: number) => number, a: number, b: number): number {
  const low = f(a) < 0;
  for (let i = 0; i < 20; i++) {
    const m = (a + b) / 2;
    if (f(m) < 0 === low) a = m;
    else b = m;
  }
  return low ? b : a; // the side that is inside
}
