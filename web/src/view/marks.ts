// Marks over the mat, seen on any cloth: dark under light.

import type { Point } from '../geo/path';
import { toScreen, type Camera } from './camera';

const free = '#6fd3ab';
const makesWay = '#e8bf6a';
const impossible = '#ff9c90';

/** A ring round a stone of the radius, mm. */
export function ring(ctx: CanvasRenderingContext2D, camera: Camera, at: Point, r: number, colour: string): void {
  const p = toScreen(camera, at.x, at.y);
  ctx.beginPath();
  ctx.arc(p.x, p.y, Math.max(4, r * camera.scale) + 2, 0, 2 * Math.PI);
  ctx.lineWidth = 4;
  ctx.strokeStyle = 'rgba(0,0,0,0.75)';
  ctx.stroke();
  ctx.lineWidth = 2;
  ctx.strokeStyle = colour;
  ctx.stroke();
}

/** A stone in the air: where the hand is, and where the stone would be set; a cross where it cannot. */
export function air(ctx: CanvasRenderingContext2D, camera: Camera, c: { at: Point; place: Point | null; way?: boolean }, r: number, hex: string): void {
  const hand = toScreen(camera, c.at.x, c.at.y);
  ctx.lineWidth = 1;
  if (c.place) {
    const p = toScreen(camera, c.place.x, c.place.y);
    strokes(ctx, c.way ? makesWay : free, [hand.x, hand.y, p.x, p.y]);
    ctx.beginPath();
    ctx.arc(p.x, p.y, r * camera.scale, 0, 2 * Math.PI);
    ctx.fillStyle = hex;
    ctx.fill();
    ring(ctx, camera, c.place, r, c.way ? makesWay : free);
    return;
  }
  ring(ctx, camera, c.at, r, impossible);
  strokes(ctx, impossible, [hand.x - 5, hand.y - 5, hand.x + 5, hand.y + 5], [hand.x + 5, hand.y - 5, hand.x - 5, hand.y + 5]);
}

function strokes(ctx: CanvasRenderingContext2D, colour: string, ...lines: [number, number, number, number][]): void {
  ctx.beginPath();
  for (const [x0, y0, x1, y1] of lines) {
    ctx.moveTo(x0, y0);
    ctx.lineTo(x1, y1);
  }
  ctx.strokeStyle = colour;
  ctx.stroke();
}

/** A line that is seen on any cloth: dark under light. */
export function outlined(ctx: CanvasRenderingContext2D, path: Path2D, scale: number): void {
  ctx.lineJoin = 'round';
  ctx.lineWidth = 4 / scale;
  ctx.strokeStyle = 'rgba(0,0,0,0.7)';
  ctx.stroke(path);
  ctx.lineWidth = 2 / scale;
  ctx.strokeStyle = '#6fd3ab';
  ctx.stroke(path);
}
