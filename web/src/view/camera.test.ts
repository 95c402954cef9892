import { expect, test } from 'vitest';
import { between, fit, panBy, rulerStep, toPlane, toScreen, zoomAt } from './camera';

test('a box is shown whole and in the middle', () => {
  const c = fit({ x0: 10, y0: 20, x1: 110, y1: 70 }, 600, 400, 50);
  expect(c.scale).toBe(5);
  expect(toScreen(c, 60, 45)).toEqual({ x: 300, y: 200 });
});

test('the point under the finger stands still while it zooms', () => {
  const c = { x: 3, y: 4, scale: 2 };
  const before = toPlane(c, 120, 80);
  const after = toPlane(zoomAt(c, 1.7, 120, 80), 120, 80);
  expect(after.x).toBeCloseTo(before.x, 9);
  expect(after.y).toBeCloseTo(before.y, 9);
});

test('the nearest and the farthest view are bounded', () => {
  expect(zoomAt({ x: 0, y: 0, scale: 1 }, 1e9, 0, 0).scale).toBe(120);
  expect(zoomAt({ x: 0, y: 0, scale: 1 }, 1e-9, 0, 0).scale).toBe(0.15);
});

test('panning by px', () => {
  expect(panBy({ x: 0, y: 0, scale: 4 }, 8, -4)).toEqual({ x: -2, y: 1, scale: 4 });
});

test('a flight begins and ends where it should', () => {
  const a = { x: 0, y: 0, scale: 1 };
  const b = { x: 50, y: 60, scale: 16 };
  for (const [t, want] of [
    [0, a],
    [1, b],
  ] as const) {
    const c = between(a, b, t, 800, 600);
    expect(c.x).toBeCloseTo(want.x, 6);
    expect(c.y).toBeCloseTo(want.y, 6);
    expect(c.scale).toBeCloseTo(want.scale, 9);
  }
  expect(between(a, b, 0.5, 800, 600).scale).toBeCloseTo(4, 9);
});

test('ticks of a ruler keep apart', () => {
  expect(rulerStep(1, [1, 2, 5, 10, 20, 50], 44)).toBe(50);
  expect(rulerStep(100, [1, 2, 5], 44)).toBe(1);
  expect(rulerStep(0.01, [1, 2, 5], 44)).toBe(5);
});
