import { expect, test } from 'vitest';
import type { Layout } from '../api/types';
import { holds, lay, lying, nextPlace, sheetAt, snapped, turnedAbout, type Lying } from './places';

// Two plates of 100 × 40 mm on a sheet of 12 × 20 in.
const layout = {
  plates: [
    { number: 1, frame: [-6, -6, 94, 34] },
    { number: 2, frame: [-6, -6, 94, 34] },
  ],
  sheets: [
    {
      number: 1,
      width: 304.8,
      height: 508,
      placed: [
        { plate: 1, x: 6, y: 6, turned: false },
        { plate: 2, x: 6, y: 49, turned: false },
      ],
    },
  ],
} as unknown as Layout;
const rules = { margin: 6, spacing: 3, turn: true };
const second = (patch: Partial<Lying>): Lying => ({ ...lying(layout)[1]!, ...patch });

test('what holds: inside the margins, a spacing away from neighbours', () => {
  expect(holds(layout, second({}), rules)).toBe(true);
  expect(holds(layout, second({ y: 48 }), rules)).toBe(false);
  expect(holds(layout, second({ x: 110, y: 6 }), rules)).toBe(true);
  expect(holds(layout, second({ x: 5 }), rules)).toBe(false);
  expect(holds(layout, second({ x: 198.8 }), rules)).toBe(true);
  expect(holds(layout, second({ x: 199 }), rules)).toBe(false);
  expect(holds(layout, second({ turned: true, y: 462 }), rules)).toBe(false);
  expect(holds(layout, second({ sheet: 2 }), rules)).toBe(false);
});

test('a plate jumps to the edge of the sheet and to its neighbour', () => {
  expect(snapped(layout, second({ x: 8, y: 51 }), rules)).toMatchObject({ x: 6, y: 49 });
  expect(snapped(layout, second({ x: 195, y: 300 }), rules)).toMatchObject({ x: 198.8, y: 300 });
  expect(snapped(layout, second({ x: 112, y: 9 }), rules)).toMatchObject({ x: 109, y: 6 });
});

test('turned about its middle, and back', () => {
  const once = turnedAbout(layout, second({ x: 100, y: 100 }));
  expect(once).toMatchObject({ turned: true, x: 130, y: 70 });
  expect(turnedAbout(layout, once)).toMatchObject({ turned: false, x: 100, y: 100 });
});

test('the job gets a place for every plate, and keeps what the sheet has', () => {
  const job = lay(layout, second({ x: 150.25, y: 300, turned: true }))({ sheet: { width: '12 in', height: '20 in' } });
  expect(job.sheet).toEqual({
    width: '12 in',
    height: '20 in',
    places: [
      { plate: 1, right: '6 mm', down: '6 mm' },
      { plate: 2, right: '150.25 mm', down: '300 mm', turned: true },
    ],
  });
});

test('the sheet under a point of the mat', () => {
  const sheets = [layout.sheets[0]!, { ...layout.sheets[0]!, number: 2 }];
  expect(sheetAt(sheets, [0, 330], 100)).toBe(1);
  expect(sheetAt(sheets, [0, 330], 400)).toBe(2);
  expect(sheetAt(sheets, [0, 330], 4000)).toBe(2);
});

test('the next free place: beside an edge or a neighbour, then on the next sheet, then from the first', () => {
  const two = { ...layout, sheets: [layout.sheets[0]!, { number: 2, width: 304.8, height: 508, placed: [] }] } as unknown as Layout;
  let at = lying(two)[1]!;
  const seen: string[] = [];
  for (let i = 0; i < 40; i++) {
    at = nextPlace(two, at, rules)!;
    expect(holds(two, at, rules)).toBe(true);
    seen.push(`${at.sheet} ${at.x} ${at.y}`);
  }
  // Right of its old place first; at last back in it.
  expect(seen[0]).toBe('1 109 49');
  expect(seen).toEqual(expect.arrayContaining(['1 6 49', '1 198.8 6', '2 6 6', '2 198.8 462']));
});

test('there is no next place on a sheet that one plate fills', () => {
  const full = { plates: [{ number: 1, frame: [0, 0, 292.8, 496] }], sheets: [{ number: 1, width: 304.8, height: 508, placed: [{ plate: 1, x: 6, y: 6, turned: false }] }] } as unknown as Layout;
  expect(nextPlace(full, lying(full)[0]!, rules)).toBeNull();
});
