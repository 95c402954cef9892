import { expect, test } from 'vitest';
import { clothBox, onSheet } from './boxes';

// The rule of docs/formats/layout.md, worked out by hand for the frame [-6, -4, 94, 46].
const frame: [number, number, number, number] = [-6, -4, 94, 46];

test('a plate as it is: its top-left corner lies at x, y', () => {
  expect(onSheet({ x: -6, y: -4 }, frame, { x: 10, y: 20, turned: false })).toEqual({ x: 10, y: 20 });
  expect(onSheet({ x: 94, y: 46 }, frame, { x: 10, y: 20, turned: false })).toEqual({ x: 110, y: 70 });
});

test('a turned plate: a quarter clockwise, so that its top-left corner comes to the right', () => {
  expect(onSheet({ x: -6, y: -4 }, frame, { x: 10, y: 20, turned: true })).toEqual({ x: 60, y: 20 });
  expect(onSheet({ x: -6, y: 46 }, frame, { x: 10, y: 20, turned: true })).toEqual({ x: 10, y: 20 });
  expect(onSheet({ x: 94, y: 46 }, frame, { x: 10, y: 20, turned: true })).toEqual({ x: 10, y: 120 });
});

test('cloth reaches round the design on all sides', () => {
  const b = clothBox(200, 100);
  expect(b).toEqual({ x0: -12, y0: -12, x1: 212, y1: 112 });
});
