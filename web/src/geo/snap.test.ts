import { expect, test } from 'vitest';
import { Grid } from './grid';
import { rings } from './path';
import { legal, snap, type Ground, type Stones, type Want } from './snap';

const ground: Ground = { rings: rings('M0 0L60 0L60 40L0 40Z'), open: false };
const want: Want = { diameter: 2.9, gap: 0.9, margin: 0, self: -1 };

function stonesAt(places: [number, number][]): { stones: Stones; grid: Grid } {
  const x = places.map((p) => p[0]);
  const y = places.map((p) => p[1]);
  return { stones: { x, y, diameter: () => 2.9, gap: () => 0.9 }, grid: new Grid(x, y) };
}

// A small generator with a seed (Numerical Recipes' LCG), so that a failure comes again.
function lots(seed: number): () => number {
  let s = seed >>> 0;
  return () => (s = (Math.imul(s, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

test('a free place is taken as it is', () => {
  const { stones, grid } = stonesAt([[30, 20]]);
  expect(snap({ x: 10, y: 10 }, want, stones, grid, ground, 12)).toEqual({ x: 10, y: 10 });
});

test('beside a stone it stands just one pitch away, on the line through the hand', () => {
  const { stones, grid } = stonesAt([[30, 20]]);
  const p = snap({ x: 31, y: 20 }, want, stones, grid, ground, 12)!;
  expect(p.x).toBeCloseTo(33.8, 6);
  expect(p.y).toBeCloseTo(20, 6);
});

test('at the outline the whole stone is inside', () => {
  const { stones, grid } = stonesAt([[50, 30]]);
  const p = snap({ x: 0.2, y: 20 }, want, stones, grid, ground, 12)!;
  expect(p.x).toBeCloseTo(1.45, 6);
});

test('between two stones it goes where both circles meet', () => {
  const { stones, grid } = stonesAt([
    [30, 20],
    [34, 20],
  ]);
  const p = snap({ x: 32, y: 21 }, want, stones, grid, ground, 12)!;
  expect(p.x).toBeCloseTo(32, 6);
  expect(p.y).toBeCloseTo(20 + Math.sqrt(3.8 ** 2 - 2 ** 2), 6);
});

test('where there is no room within reach there is no place', () => {
  const full: [number, number][] = [];
  for (let x = 1.45; x < 60; x += 3.8) for (let y = 1.45; y < 40; y += 3.8) full.push([x, y]);
  const { stones, grid } = stonesAt(full);
  expect(snap({ x: 30, y: 20 }, want, stones, grid, ground, 3)).toBeNull();
});

test('the stone that is moved does not stand in its own way', () => {
  const { stones, grid } = stonesAt([[30, 20]]);
  expect(snap({ x: 30.5, y: 20 }, { ...want, self: 0 }, stones, grid, ground, 12)).toEqual({ x: 30.5, y: 20 });
});

test('on an open line the centre is on the line', () => {
  const line: Ground = { rings: rings('M0 0L60 0'), open: true };
  const { stones, grid } = stonesAt([[30, 0]]);
  const p = snap({ x: 40, y: 3 }, want, stones, grid, line, 12)!;
  expect(p).toEqual({ x: 40, y: 0 });
});

test('every place that is given is legal, and none on a fine grid is nearer', () => {
  const next = lots(7);
  for (let round = 0; round < 15; round++) {
    const places: [number, number][] = [];
    for (let i = 0; i < 60; i++) {
      const p: [number, number] = [1.45 + next() * 57.1, 1.45 + next() * 37.1];
      if (places.every((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) >= 3.8)) places.push(p);
    }
    const { stones, grid } = stonesAt(places);
    const hand = { x: next() * 60, y: next() * 40 };
    const p = snap(hand, want, stones, grid, ground, 12);
    let nearest = Infinity;
    for (let x = 1.45; x < 60; x += 0.5) {
      for (let y = 1.45; y < 40; y += 0.5) {
        if (legal({ x, y }, want, stones, grid, ground)) nearest = Math.min(nearest, Math.hypot(x - hand.x, y - hand.y));
      }
    }
    if (!p) {
      expect(nearest).toBeGreaterThan(11.5);
      continue;
    }
    expect(legal(p, want, stones, grid, ground)).toBe(true);
    expect(Math.hypot(p.x - hand.x, p.y - hand.y)).toBeLessThanOrEqual(nearest + 0.01);
  }
});
