import type { Layout, Placed, Sheet } from '../api/types';
import { onSheet } from './boxes';
import type { Box } from './camera';
import { FigureLayer } from './layers';
import { framePath, HoleLayer, nickPath } from './plate';
import type { Layer } from './scene';

/** Room between two sheets that lie side by side on the mat, mm. */
const apart = 24;

const flock = '#3d4a43';
const sheetColour = '#55645b';
const hole = '#c9d6ce';

/** Where each sheet begins on the mat. */
export function sheetOrigins(layout: Layout): number[] {
  let x = 0;
  return layout.sheets.map((s) => {
    const at = x;
    x += s.width + apart;
    return at;
  });
}

export function sheetsBox(layout: Layout): Box {
  const wide = layout.sheets.reduce((w, s) => w + s.width + apart, -apart);
  return { x0: 0, y0: -10, x1: Math.max(wide, 10), y1: Math.max(10, ...layout.sheets.map((s) => s.height)) };
}

/** All sheets with their plates; the one that is dragged is left out. */
export function sheetLayers(layout: Layout, without: { sheet: number; plate: number } | null): Layer[] {
  const origins = sheetOrigins(layout);
  return layout.sheets.flatMap((s, i) => {
    const grounds = new FigureLayer([{ path: rectangle(origins[i]!, 0, s.width, s.height), fill: sheetColour, stroke: '#8fa398', width: 1 }]);
    const plates = s.placed.filter((p) => !(without && without.sheet === s.number && without.plate === p.plate));
    return [grounds, ...plates.flatMap((p) => placedLayers(layout, origins[i]!, p))];
  });
}

function rectangle(x: number, y: number, w: number, h: number): Path2D {
  const path = new Path2D();
  path.rect(x, y, w, h);
  return path;
}

function placedLayers(layout: Layout, origin: number, placed: Placed): Layer[] {
  const plate = layout.plates.find((p) => p.number === placed.plate);
  if (!plate) return [];
  const moved = matrix(plate.frame, origin, placed);
  const path = new Path2D();
  path.addPath(framePath(plate), moved);
  const nicks = new Path2D();
  nicks.addPath(nickPath(plate), moved);
  const place = (x: number, y: number) => {
    const at = onSheet({ x, y }, plate.frame, placed);
    return { x: at.x + origin, y: at.y };
  };
  return [
    new FigureLayer([
      { path, fill: flock, stroke: '#dfe6e1', width: 1 },
      { path: nicks, stroke: '#dfe6e1', width: 1.5 },
    ]),
    new HoleLayer(layout.stones, layout.kinds, plate.number, hole, place),
  ];
}

/** The rule of onSheet as a matrix. */
function matrix([x0, y0, , y1]: [number, number, number, number], origin: number, p: Placed): DOMMatrix {
  return p.turned ? new DOMMatrix([0, 1, -1, 0, origin + p.x + y1, p.y - x0]) : new DOMMatrix([1, 0, 0, 1, origin + p.x - x0, p.y - y0]);
}

/** The size of a placed plate on its sheet. */
export function placedSize(layout: Layout, p: Placed): { w: number; h: number } {
  const [x0, y0, x1, y1] = layout.plates.find((o) => o.number === p.plate)?.frame ?? [0, 0, 0, 0];
  return p.turned ? { w: y1 - y0, h: x1 - x0 } : { w: x1 - x0, h: y1 - y0 };
}

/** The plate under a point of the mat. */
export function plateAt(layout: Layout, x: number, y: number): { sheet: Sheet; placed: Placed; origin: number } | null {
  const origins = sheetOrigins(layout);
  for (const [i, sheet] of layout.sheets.entries()) {
    for (const placed of sheet.placed) {
      const { w, h } = placedSize(layout, placed);
      const left = origins[i]! + placed.x;
      if (x >= left && x <= left + w && y >= placed.y && y <= placed.y + h) return { sheet, placed, origin: origins[i]! };
    }
  }
  return null;
}
