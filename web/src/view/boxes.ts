import type { Layout } from '../api/types';
import type { Box } from './camera';

/** The cloth reaches a little beyond the design. */
export function clothBox(width: number, height: number): Box {
  const pad = Math.max(8, 0.06 * Math.max(width, height));
  return { x0: -pad, y0: -pad, x1: width + pad, y1: height + pad };
}

/** All that is drawn of a plate. */
export function frameBox(layout: Layout): Box {
  const [x0, y0, x1, y1] = layout.plates[0]?.frame ?? [0, 0, layout.width, layout.height];
  return { x0, y0, x1, y1 };
}

/** A point of a plate on its sheet, turned a quarter clockwise or not: docs/formats/layout.md has the rule. */
export function onSheet(p: { x: number; y: number }, frame: [number, number, number, number], placed: { x: number; y: number; turned: boolean }): { x: number; y: number } {
  const [x0, y0, , y1] = frame;
  if (placed.turned) return { x: placed.x + y1 - p.y, y: placed.y + p.x - x0 };
  return { x: placed.x + p.x - x0, y: placed.y + p.y - y0 };
}
