import { expect, test } from 'vitest';
import type { StoneColumns } from '../api/types';
import { Grid } from '../geo/grid';
import { rowOf } from './row';

function columns(places: [number, number][], role = 0, region = 0): StoneColumns {
  const n = places.length;
  const of = (v: number) => new Array<number>(n).fill(v);
  return { x: places.map((p) => p[0]), y: places.map((p) => p[1]), kind: of(0), region: of(region), role: of(role), plate: of(1) };
}

test('a ring is one row, from whichever stone it is begun', () => {
  const n = 40;
  const r = (3.8 / 2) / Math.sin(Math.PI / n);
  const ring = columns(Array.from({ length: n }, (_, i) => [r * Math.cos((2 * Math.PI * i) / n), r * Math.sin((2 * Math.PI * i) / n)]));
  const grid = new Grid(ring.x, ring.y);
  for (const start of [0, 13, 39]) expect(rowOf(start, ring, 3.8, grid).sort((a, b) => a - b)).toEqual([...Array(n).keys()]);
});

test('a line is taken from its middle to both ends, in order', () => {
  const line = columns(Array.from({ length: 9 }, (_, i) => [i * 4, 0]));
  const row = rowOf(4, line, 3.8, new Grid(line.x, line.y));
  expect(row.length).toBe(9);
  const xs = row.map((s) => line.x[s]!);
  expect(xs.every((v, i) => i === 0 || Math.abs(v - xs[i - 1]!) === 4)).toBe(true);
});

test('it stops at a gap, and at stones of another role or region', () => {
  const s = columns(Array.from({ length: 10 }, (_, i) => [i < 5 ? i * 4 : i * 4 + 5, 0]));
  expect(rowOf(0, s, 3.8, new Grid(s.x, s.y))).toHaveLength(5);
  const t = columns(Array.from({ length: 10 }, (_, i) => [i * 4, 0]));
  t.role[6] = 2;
  expect(rowOf(0, t, 3.8, new Grid(t.x, t.y))).toHaveLength(6);
});

test('a rim goes round corners, a course does not', () => {
  const places: [number, number][] = [];
  for (let i = 0; i < 10; i++) places.push([i * 4, 0], [40, i * 4], [40 - i * 4, 40], [0, 40 - i * 4]);
  const s = columns(places);
  const grid = new Grid(s.x, s.y);
  expect(rowOf(0, s, 3.8, grid, 115)).toHaveLength(40);
  expect(rowOf(4, s, 3.8, grid)).toHaveLength(11);
});
