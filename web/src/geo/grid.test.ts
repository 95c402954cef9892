import { expect, test } from 'vitest';
import { Grid } from './grid';

const x = [0, 10, 20, 0, 10, 20];
const y = [0, 0, 0, 10, 10, 10];
const grid = new Grid(x, y);

test('stones near a point, as by looking at each', () => {
  for (const reach of [0, 5, 10, 14.2, 30]) {
    for (const [px, py] of [
      [0, 0],
      [9, 3],
      [-50, 2],
      [10, 10],
    ] as const) {
      const each = x.map((_, i) => i).filter((i) => Math.hypot(x[i]! - px, y[i]! - py) <= reach);
      expect(grid.within(px, py, reach).sort()).toEqual(each);
    }
  }
});

test('the nearest, or none within reach', () => {
  expect(grid.nearest(9, 1, 5)).toBe(1);
  expect(grid.nearest(5, 5, 3)).toBe(-1);
});

test('from stone to stone by direction', () => {
  expect(grid.towards(0, 1, 0)).toBe(1);
  expect(grid.towards(0, 0, 1)).toBe(3);
  expect(grid.towards(0, -1, 0)).toBe(-1);
  expect(grid.towards(4, 0, -1)).toBe(1);
});
