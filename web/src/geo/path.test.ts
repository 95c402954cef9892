import { expect, test } from 'vitest';
import { inside, nearest, rings, type Point } from './path';

function area(ring: Point[]): number {
  return Math.abs(ring.reduce((sum, p, i) => sum + p.x * ring[(i + 1) % ring.length]!.y - ring[(i + 1) % ring.length]!.x * p.y, 0) / 2);
}

// A quarter of a circle as a cubic: control points at 4/3·tan(π/8) of the radius (common practice); such
// a circle is wider than the true one by at most 0.027 %, so its area is π·r² to 0.06 %.
const k = (4 / 3) * Math.tan(Math.PI / 8);
const r = 50;
const circle = `M${r} 0C${r} ${k * r} ${k * r} ${r} 0 ${r}C${-k * r} ${r} ${-r} ${k * r} ${-r} 0C${-r} ${-k * r} ${-k * r} ${-r} 0 ${-r}C${k * r} ${-r} ${r} ${-k * r} ${r} 0Z`;

test('curves are flattened closely', () => {
  const [ring] = rings(circle);
  expect(Math.abs(area(ring!) / (Math.PI * r * r) - 1)).toBeLessThan(0.001);
  for (const p of ring!) expect(Math.abs(Math.hypot(p.x, p.y) - r)).toBeLessThan(0.03);
});

test('lines, both axes, and several rings', () => {
  const all = rings('M0 0L10 0L10 10H0V0ZM2 2L2 4L4 4Z');
  expect(all).toHaveLength(2);
  expect(area(all[0]!)).toBe(100);
  expect(area(all[1]!)).toBe(2);
});

test('a quadratic is the cubic that it equals', () => {
  // SVG 2, 9.3.7; the area under this parabola is 2/3 of its box (Archimedes).
  const [ring] = rings('M0 0Q5 20 10 0');
  expect(Math.abs(area(ring!) / ((2 / 3) * 10 * 10) - 1)).toBeLessThan(0.004);
});

test('what is no path gives no ring', () => {
  expect(rings('')).toEqual([]);
  expect(rings('nonsense 3 4')).toEqual([]);
});

test('a hole is not inside: even-odd', () => {
  const ring = rings('M0 0L10 0L10 10L0 10ZM3 3L7 3L7 7L3 7Z');
  expect(inside(ring, { x: 1, y: 1 })).toBe(true);
  expect(inside(ring, { x: 5, y: 5 })).toBe(false);
  expect(inside(ring, { x: 11, y: 5 })).toBe(false);
});

test('the nearest point of an outline; an open line has no closing side', () => {
  const square = rings('M0 0L10 0L10 10L0 10');
  expect(nearest(square, { x: -2, y: 5 }, true).distance).toBeCloseTo(2, 9);
  expect(nearest(square, { x: -2, y: 5 }, false).distance).toBeCloseTo(Math.hypot(2, 5), 9);
  expect(nearest([], { x: 0, y: 0 }, true).distance).toBe(Infinity);
});
