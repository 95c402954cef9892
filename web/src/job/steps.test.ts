import { expect, test } from 'vitest';
import type { Layout } from '../api/types';
import { stateAt, stepsOf } from './steps';

const layout = {
  kinds: [
    { size: 'SS10', colour: 'crystal' },
    { size: 'SS6', colour: 'crystal' },
    { size: 'SS10', colour: 'jet' },
  ],
  stones: { x: [0, 1, 2, 3], y: [0, 0, 0, 0], kind: [0, 1, 1, 2], region: [0, 0, 0, 0], role: [0, 0, 0, 0], plate: [1, 1, 1, 2] },
  plates: [
    { number: 1, order: ['SS10 crystal', 'SS6 crystal'] },
    { number: 2, order: ['SS10 jet'] },
  ],
} as unknown as Layout;
const steps = stepsOf(layout);

// The order of work is that of the trade: facts of making a two-colour transfer, common practice.
test('brush, hinge, lift; then the second plate, the tape folded down again', () => {
  expect(steps.map((s) => `${s.do} ${s.plate}`)).toEqual(['lay 1', 'brush 1', 'brush 1', 'check 1', 'hinge 1', 'lift 1', 'lay 2', 'brush 2', 'check 2', 'fold 2', 'lift 2', 'done 2']);
});

test('the largest is brushed first, and the holes are counted', () => {
  const brush = steps.filter((s) => s.do === 'brush');
  expect(brush.map((s) => [s.kind, s.stones])).toEqual([
    ['SS10 crystal', 1],
    ['SS6 crystal', 2],
    ['SS10 jet', 1],
  ]);
});

test('what lies in the plate and what hangs on the tape, step by step', () => {
  expect(stateAt(steps, -1)).toEqual({ plate: 1, inPlate: new Set(), lifted: new Set(), tape: 'none' });
  expect(stateAt(steps, 2).inPlate).toEqual(new Set(['1 0', '1 1']));
  expect(stateAt(steps, 5)).toMatchObject({ lifted: new Set([1]), tape: 'up' });
  expect(stateAt(steps, 6)).toMatchObject({ plate: 2, tape: 'up', inPlate: new Set() });
  expect(stateAt(steps, 11).lifted).toEqual(new Set([1, 2]));
});
