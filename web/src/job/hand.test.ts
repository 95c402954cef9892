import { expect, test } from 'vitest';
import type { HandEdit } from '../api/types';
import { addStone, bothSides, mirrored, moveStone, recolourStone, regionOf, removeStone, share, withEdits, withoutEdits } from './hand';

const size = { width: 200, height: 100 };

test('places are shares of width and height', () => {
  expect(share({ x: 50, y: 20 }, size)).toEqual([0.25, 0.2]);
  expect(share({ x: -3, y: 120 }, size)).toEqual([0, 1]);
  expect(addStone('eye', { x: 100, y: 50 }, size, { size: 'SS10' })).toEqual({ add: { region: 'eye', at: [0.5, 0.5], stone: { size: 'SS10' } } });
});

test('edits come in their order, and go by region or all', () => {
  const edits = [removeStone('a', { x: 0, y: 0 }, size), recolourStone('b', { x: 1, y: 1 }, size, 'jet')];
  const job = withEdits(edits)({ hand: [moveStone('a', { x: 1, y: 1 }, { x: 2, y: 2 }, size)] });
  expect(job.hand!.map(regionOf)).toEqual(['a', 'a', 'b']);
  expect(withoutEdits('a')(job).hand!.map(regionOf)).toEqual(['b']);
  expect('hand' in withoutEdits()(job)).toBe(false);
  const plain = {};
  expect(withEdits([])(plain)).toBe(plain);
});

test('the other side: mirrored left for right, in the region that is there', () => {
  const edit: HandEdit = { move: { region: 'left', at: [0.2, 0.3], to: [0.25, 0.3] } };
  expect(mirrored(edit, () => 'right')).toEqual({ move: { region: 'right', at: [0.8, 0.3], to: [0.75, 0.3] } });
  expect(mirrored(edit, () => null)).toBeNull();
  expect(bothSides([edit], () => 'right')).toHaveLength(2);
});

test('a stone on the middle line is its own image', () => {
  expect(mirrored({ remove: { region: 'a', at: [0.5, 0.3] } }, () => 'a')).toBeNull();
});
