// Which stones stand in one row: for painting a colour along it.

import type { StoneColumns } from '../api/types';
import type { Grid } from '../geo/grid';

/**
 * The row of a stone: from neighbour to neighbour both ways, within one region and
 * role, as long as the next stone is no farther than `reach` pitches and the way
 * bends by less than `bend` degrees: more for a rim, which goes round corners. A
 * closed row ends where it began. In order along the row.
 */
export function rowOf(start: number, stones: StoneColumns, pitch: number, grid: Grid, bend = 75, reach = 1.45): number[] {
  const same = (s: number) => stones.region[s] === stones.region[start] && stones.role[s] === stones.role[start];
  const used = new Set([start]);
  const walk = (from: number, away: number): number[] => {
    const out: number[] = [];
    let [before, at] = [away, from];
    for (;;) {
      const next = onward(before, at, stones, grid, { reach: pitch * reach, bend: (bend * Math.PI) / 180 }, (s) => same(s) && !used.has(s));
      if (next < 0) return out;
      used.add(next);
      out.push(next);
      [before, at] = [at, next];
    }
  };
  const ahead = walk(start, -1);
  const back = walk(start, ahead[0] ?? -1);
  return [...back.reverse(), start, ...ahead];
}

/** The next stone from `at`, coming from `before` (−1: from nowhere): near, and straight on. */
function onward(before: number, at: number, stones: StoneColumns, grid: Grid, most: { reach: number; bend: number }, ok: (s: number) => boolean): number {
  const { x, y } = stones;
  let best = -1;
  let cost = Infinity;
  for (const s of grid.within(x[at]!, y[at]!, most.reach)) {
    if (s === at || !ok(s)) continue;
    const far = Math.hypot(x[s]! - x[at]!, y[s]! - y[at]!);
    let bend = 0;
    if (before >= 0) {
      const straight = Math.atan2(y[at]! - y[before]!, x[at]! - x[before]!);
      const turn = Math.atan2(y[s]! - y[at]!, x[s]! - x[at]!) - straight;
      bend = Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn)));
      if (bend > most.bend) continue;
    }
    const c = far * (1 + bend);
    if (c < cost) {
      best = s;
      cost = c;
    }
  }
  return best;
}
