import type { Kind, Plate, StoneColumns } from '../api/types';
import type { Box, Camera } from './camera';
import type { Layer } from './scene';
import type { Ctx } from './sprites';

/** Widths of the notch where it opens, mm: docs/formats/layout.md. */
const notchWidth = 4;

/** The closed outline of a frame with its notch, and the nicks beside it. */
export function framePath(p: Plate): Path2D {
  const [x0, y0, x1, y1] = p.frame;
  const path = new Path2D();
  path.moveTo(x0, y0);
  path.lineTo(p.notch[0] - notchWidth / 2, y0);
  path.lineTo(p.notch[0], p.notch[1]);
  path.lineTo(p.notch[0] + notchWidth / 2, y0);
  path.lineTo(x1, y0);
  path.lineTo(x1, y1);
  path.lineTo(x0, y1);
  path.closePath();
  return path;
}

export function nickPath(p: Plate): Path2D {
  const path = new Path2D();
  for (const [x0, y0, x1, y1] of p.nicks ?? []) {
    path.moveTo(x0, y0);
    path.lineTo(x1, y1);
  }
  return path;
}

/** The holes of one plate as circles: the tray is seen through them. */
export class HoleLayer implements Layer {
  readonly pieces: number;
  private readonly holes: number[];

  constructor(
    private readonly stones: StoneColumns,
    private readonly kinds: Kind[],
    plate: number,
    private readonly colour: string,
    private readonly place: (x: number, y: number) => { x: number; y: number } = (x, y) => ({ x, y }),
  ) {
    this.holes = stones.plate.flatMap((p, i) => (p === plate ? [i] : []));
    this.pieces = this.holes.length;
  }

  paint(ctx: Ctx, camera: Camera, seen: Box, from: number, to: number): void {
    ctx.fillStyle = this.colour;
    ctx.beginPath();
    for (let k = from; k < to; k++) {
      const s = this.holes[k]!;
      const at = this.place(this.stones.x[s]!, this.stones.y[s]!);
      const r = this.kinds[this.stones.kind[s]!]!.hole / 2;
      if (at.x + r < seen.x0 || at.x - r > seen.x1 || at.y + r < seen.y0 || at.y - r > seen.y1) continue;
      const x = (at.x - camera.x) * camera.scale;
      const y = (at.y - camera.y) * camera.scale;
      const px = r * camera.scale;
      if (px < 1.3) {
        // Too small for a circle to be told from a square.
        ctx.rect(x - px, y - px, 2 * px, 2 * px);
      } else {
        ctx.moveTo(x + px, y);
        ctx.arc(x, y, px, 0, 2 * Math.PI);
      }
    }
    ctx.fill();
  }
}
