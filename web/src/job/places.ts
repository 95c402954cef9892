// Where a person lays plates on the sheets: snapping to edges and neighbours, and what holds.

import type { Layout, Placed, Sheet } from '../api/types';
import { plain } from '../geo/length';
import type { Change } from './rules';

export interface Rules {
  margin: number;
  spacing: number;
  turn: boolean;
}

export interface Lying extends Placed {
  sheet: number;
}

type Box = [number, number, number, number];

/** How far a plate jumps to an edge, mm. */
const jump = 6;
const slack = 0.002;

export function lying(layout: Layout): Lying[] {
  return layout.sheets.flatMap((s) => s.placed.map((p) => ({ ...p, sheet: s.number })));
}

export function sizeOf(layout: Layout, p: { plate: number; turned: boolean }): { w: number; h: number } {
  const [x0, y0, x1, y1] = layout.plates.find((o) => o.number === p.plate)?.frame ?? [0, 0, 0, 0];
  return p.turned ? { w: y1 - y0, h: x1 - x0 } : { w: x1 - x0, h: y1 - y0 };
}

function boxOf(layout: Layout, p: Lying): Box {
  const { w, h } = sizeOf(layout, p);
  return [p.x, p.y, p.x + w, p.y + h];
}

function others(layout: Layout, p: Lying): Box[] {
  return lying(layout)
    .filter((o) => o.sheet === p.sheet && o.plate !== p.plate)
    .map((o) => boxOf(layout, o));
}

/** Says whether a plate may lie so: inside the margins and free of its neighbours. */
export function holds(layout: Layout, p: Lying, rules: Rules): boolean {
  const sheet = layout.sheets.find((s) => s.number === p.sheet);
  if (!sheet) return false;
  const b = boxOf(layout, p);
  const m = rules.margin - slack;
  if (b[0] < m || b[1] < m || b[2] > sheet.width - m || b[3] > sheet.height - m) return false;
  const gap = rules.spacing - slack;
  return others(layout, p).every((o) => b[0] >= o[2] + gap || o[0] >= b[2] + gap || b[1] >= o[3] + gap || o[1] >= b[3] + gap);
}

/** The plate drawn to the nearest edge of the sheet or a neighbour, each way by itself. */
export function snapped(layout: Layout, p: Lying, rules: Rules): Lying {
  const sheet = layout.sheets.find((s) => s.number === p.sheet);
  if (!sheet) return p;
  const { w, h } = sizeOf(layout, p);
  const near = others(layout, p);
  const pull = (v: number, long: number, whole: number, at: 0 | 1) => {
    const edges = [rules.margin, whole - rules.margin - long, ...near.flatMap((o) => [o[at + 2]! + rules.spacing, o[at]! - rules.spacing - long, o[at]!])];
    const best = edges.reduce((b, e) => (Math.abs(e - v) < Math.abs(b - v) ? e : b), Infinity);
    return Math.abs(best - v) <= jump ? best : v;
  };
  return { ...p, x: pull(p.x, w, sheet.width, 0), y: pull(p.y, h, sheet.height, 1) };
}

/** A quarter turn about the plate's middle. */
export function turnedAbout(layout: Layout, p: Lying): Lying {
  const { w, h } = sizeOf(layout, p);
  return { ...p, turned: !p.turned, x: p.x + (w - h) / 2, y: p.y + (h - w) / 2 };
}

/**
 * The next free place for a plate: beside an edge or a neighbour, row by row down its sheet, then down the
 * sheets after it, and from the first again. Gives null where no other place is free.
 */
export function nextPlace(layout: Layout, p: Lying, rules: Rules): Lying | null {
  const { w, h } = sizeOf(layout, p);
  const free = layout.sheets.flatMap((s) => {
    const near = others(layout, { ...p, sheet: s.number });
    const along = (long: number, whole: number, at: 0 | 1) => [...new Set([rules.margin, whole - rules.margin - long, ...near.map((o) => o[at + 2]! + rules.spacing)])];
    const corners = along(h, s.height, 1).flatMap((y) => along(w, s.width, 0).map((x) => ({ ...p, sheet: s.number, x, y })));
    return corners.filter((c) => holds(layout, c, rules));
  });
  const order = (a: Lying, b: Lying) => a.sheet - b.sheet || (Math.abs(a.y - b.y) > slack ? a.y - b.y : Math.abs(a.x - b.x) > slack ? a.x - b.x : 0);
  const away = free.filter((c) => order(c, p) !== 0).sort(order);
  return away.find((c) => order(c, p) > 0) ?? away[0] ?? null;
}

/** Writes where all plates lie, one of them anew, into the job. */
export function lay(layout: Layout, moved: Lying): Change {
  const all = lying(layout).map((p) => (p.plate === moved.plate ? moved : p));
  const places = [...all]
    .sort((a, b) => a.plate - b.plate)
    .map((p) => ({ plate: p.plate, ...(p.sheet > 1 ? { sheet: p.sheet } : {}), right: `${plain(p.x, 3)} mm`, down: `${plain(p.y, 3)} mm`, ...(p.turned ? { turned: true } : {}) }));
  return (job) => ({ ...job, sheet: { ...(job.sheet as object | undefined), places } });
}

/** The sheet whose piece of the mat holds a point; the mat has them side by side. */
export function sheetAt(sheets: Sheet[], origins: number[], x: number): number {
  const i = origins.findIndex((o, k) => x < o + sheets[k]!.width + 12);
  return sheets[i < 0 ? sheets.length - 1 : i]?.number ?? 1;
}
