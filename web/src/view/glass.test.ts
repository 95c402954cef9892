import { expect, test } from 'vitest';
import { linear, paint, turnOf, turns, type Finish } from './glass';

function mean(hex: string, finish: Finish, turn = 0): [number, number, number, number] {
  const side = 34;
  const data = new Uint8ClampedArray(4 * side * side);
  paint(data, side, 16, hex, finish, turn);
  const sum: [number, number, number, number] = [0, 0, 0, 0];
  let n = 0;
  for (let i = 0; i < data.length; i += 4) {
    if (data[i + 3]! < 250) continue;
    for (let c = 0; c < 4; c++) sum[c]! += data[i + c]!;
    n++;
  }
  return sum.map((v) => v / n) as [number, number, number, number];
}

test('sRGB is decoded as IEC 61966-2-1 says', () => {
  expect(linear('#ffffff')).toEqual([1, 1, 1]);
  expect(linear('#808080')[0]).toBeCloseTo(0.2158605, 6); // the standard's transfer function at 128/255
  expect(linear('#0a0a0a')[0]).toBeCloseTo(10 / 255 / 12.92, 9);
});

test('a stone covers the area of its disc', () => {
  const side = 34;
  const data = new Uint8ClampedArray(4 * side * side);
  paint(data, side, 16, '#ffffff', 'clear', 0);
  let alpha = 0;
  for (let i = 3; i < data.length; i += 4) alpha += data[i]! / 255;
  expect(Math.abs(alpha / (Math.PI * 16 * 16) - 1)).toBeLessThan(0.01);
});

test('colours stay apart: a blue stone is blue, a red one red, jet is dark', () => {
  const blue = mean('#2458b8', 'clear');
  const red = mean('#a3121f', 'clear');
  const jet = mean('#17171b', 'opaque');
  const crystal = mean('#e9eef2', 'clear');
  expect(blue[2]).toBeGreaterThan(1.3 * blue[0]);
  expect(red[0]).toBeGreaterThan(1.5 * red[2]);
  expect(Math.max(jet[0], jet[1], jet[2])).toBeLessThan(0.6 * crystal[0]);
});

test('an AB coat shimmers: its hue changes over the stone more than that of clear glass', () => {
  const hues = (finish: Finish) => {
    const side = 34;
    const data = new Uint8ClampedArray(4 * side * side);
    paint(data, side, 16, '#dfe6f5', finish, 0);
    let spread = 0;
    for (let i = 0; i < data.length; i += 4) if (data[i + 3] === 255) spread += Math.max(data[i]!, data[i + 1]!, data[i + 2]!) - Math.min(data[i]!, data[i + 1]!, data[i + 2]!);
    return spread;
  };
  expect(hues('ab')).toBeGreaterThan(2 * hues('clear'));
});

test('all turns occur, and a place keeps its turn', () => {
  const seen = new Set<number>();
  for (let i = 0; i < 500; i++) seen.add(turnOf(i * 3.8, (i * 7) % 31));
  expect(seen.size).toBe(turns);
  expect(turnOf(12.34, 56.78)).toBe(turnOf(12.34, 56.78));
});
