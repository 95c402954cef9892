import { expect, test } from 'vitest';
import { both, bothSides, inUnit, minutesText, parseLength, some, unitOf, written } from './length';

// An inch is 25.4 mm exactly: ISO 31-1, and the international yard and pound agreement of 1959.
test.each([
  ['9.5 in', 241.3],
  ['9 1/2 in', 241.3],
  ['9.5"', 241.3],
  ['1/4 in', 6.35],
  ['24 cm', 240],
  ['240 mm', 240],
  ['240', 240],
  ['2,5 mm', 2.5],
  ['0 mm', 0],
])('%s is read', (text, mm) => {
  expect(parseLength(text)).toBeCloseTo(mm, 9);
});

test('a number alone takes the unit in use', () => {
  expect(parseLength('9', 'in')).toBeCloseTo(228.6, 9);
});

test.each(['', 'wide', '9 feet', '1/0 in', '9 in wide', '-3 mm', '1 2 mm'])('%j is not read', (text) => {
  expect(parseLength(text)).toBeNull();
});

test('both units stand side by side, the one in use first', () => {
  expect(both(228.6, 'in')).toBe('9 in · 228.6 mm');
  expect(both(228.6, 'mm')).toBe('228.6 mm · 9 in');
  expect(both(0.8, 'mm')).toBe('0.8 mm · 0.031 in');
  expect(bothSides(228.6, 203.2, 'in')).toBe('9 × 8 in · 228.6 × 203.2 mm');
});

test('what is written is read as what it was, to a hundredth of a millimetre', () => {
  for (let mm = 0.05; mm < 2000; mm *= 1.37) {
    for (const unit of ['in', 'mm'] as const) {
      expect(Math.abs(parseLength(written(mm, unit))! - mm)).toBeLessThan(0.013);
      expect(unitOf(written(mm, unit))).toBe(unit);
    }
  }
});

test('a share has no unit of length', () => {
  expect(unitOf('20%')).toBeNull();
  expect(unitOf(undefined)).toBeNull();
});

test('counts and times in words', () => {
  expect(some(1, 'plate')).toBe('1 plate');
  expect(some(1367, 'stone')).toBe('1,367 stones');
  expect(minutesText(0.3)).toBe('under 1 min');
  expect(minutesText(11.6)).toBe('12 min');
  expect(minutesText(65)).toBe('1 h 5 min');
  expect(inUnit(6, 'in')).toBe('0.236 in');
});
