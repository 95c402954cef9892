import { expect, test } from 'vitest';
import { addDrawing, drawingsOf, patchDrawing, placeOf, removeDrawing } from './drawings';

const one = { design: 'Badge', artwork: 'heron.svg', width: '9 in' };

test('a second drawing keeps the size of the first', () => {
  const two = addDrawing('oar.svg')(one);
  expect(two).toEqual({ design: 'Badge', drawings: [{ file: 'heron.svg', width: '9 in' }, { file: 'oar.svg' }] });
  expect(drawingsOf(two)).toHaveLength(2);
});

test('the first drawing of a design that had none', () => {
  expect(addDrawing('oar.svg')({ lettering: [{ text: 'A' }], width: '5 in' })).toEqual({ lettering: [{ text: 'A' }], width: '5 in', artwork: 'oar.svg' });
});

test('one that is left alone stands as it stood before', () => {
  expect(removeDrawing(1)(addDrawing('oar.svg')(one))).toEqual(one);
});

test('turned, moved, sized', () => {
  const two = patchDrawing(1, { turn: '15 deg', at: [0.25, 1.1] })(addDrawing('oar.svg')(one));
  expect(drawingsOf(two)[1]).toEqual({ file: 'oar.svg', turn: '15 deg', at: [0.25, 1.1] });
  expect(drawingsOf(patchDrawing(1, { turn: undefined })(two))[1]).toEqual({ file: 'oar.svg', at: [0.25, 1.1] });
});

test('a single drawing that is turned needs the long form', () => {
  expect(patchDrawing(0, { turn: '90 deg' })(one)).toEqual({ design: 'Badge', drawings: [{ file: 'heron.svg', width: '9 in', turn: '90 deg' }] });
});

test('places are shares of the first box, beyond it too', () => {
  expect(placeOf({ x: 60, y: 110 }, [10, 10, 110, 60])).toEqual([0.5, 2]);
});
