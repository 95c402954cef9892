import type { Kind, StoneColumns } from '../api/types';
import type { Box, Camera } from './camera';
import { turnOf } from './glass';
import type { Layer } from './scene';
import { Sprites, type Ctx } from './sprites';

const sprites = new Sprites();

/** Below this radius, px, a stone's shadow cannot be told from its edge. */
const shadowFrom = 2.2;

/** Below this radius, px, a stone's shadow is painted with it: what falls on its neighbours is too faint to be seen. */
const apartFrom = 9;

/** The stones on the cloth, kind by kind: first all shadows, where stones are large, then all stones. */
export class StoneLayer implements Layer {
  readonly pieces: number;
  private readonly order: Int32Array;
  private readonly turn: Uint8Array;

  constructor(
    private readonly stones: StoneColumns,
    private readonly kinds: Kind[],
    /** The stones to show; all where it is missing. */
    show?: (stone: number) => boolean,
    private readonly shift: (stone: number) => { x: number; y: number } | null = () => null,
  ) {
    const n = stones.x.length;
    const shown: number[] = [];
    for (let i = 0; i < n; i++) if (!show || show(i)) shown.push(i);
    shown.sort((a, b) => stones.kind[a]! - stones.kind[b]! || a - b);
    this.order = Int32Array.from(shown);
    this.turn = Uint8Array.from(shown, (i) => turnOf(stones.x[i]!, stones.y[i]!));
    this.pieces = 2 * shown.length;
  }

  paint(ctx: Ctx, camera: Camera, seen: Box, from: number, to: number): void {
    const n = this.order.length;
    const { x, y, kind } = this.stones;
    for (let k = from; k < to; k++) {
      const shadow = k < n;
      const at = shadow ? k : k - n;
      const s = this.order[at]!;
      const type = this.kinds[kind[s]!]!;
      const r = type.diameter / 2;
      const moved = this.shift(s);
      const sx = moved ? moved.x : x[s]!;
      const sy = moved ? moved.y : y[s]!;
      if (sx + r < seen.x0 || sx - r > seen.x1 || sy + r < seen.y0 || sy - r > seen.y1) continue;
      const px = (sx - camera.x) * camera.scale;
      const py = (sy - camera.y) * camera.scale;
      const radius = r * camera.scale;
      if (!shadow) sprites.stone(ctx, type, this.turn[at]!, px, py, radius, radius >= shadowFrom && radius < apartFrom);
      else if (radius >= apartFrom) sprites.shadow(ctx, px, py, radius);
    }
  }
}

/** A rectangle of cloth, a little larger than the design. */
export class ClothLayer implements Layer {
  readonly pieces = 1;
  constructor(
    private readonly box: Box,
    private readonly colour: string,
  ) {}

  paint(ctx: Ctx, camera: Camera): void {
    const x = (this.box.x0 - camera.x) * camera.scale;
    const y = (this.box.y0 - camera.y) * camera.scale;
    ctx.fillStyle = this.colour;
    ctx.beginPath();
    ctx.roundRect(x, y, (this.box.x1 - this.box.x0) * camera.scale, (this.box.y1 - this.box.y0) * camera.scale, 3 * camera.scale);
    ctx.fill();
  }
}

/** One outline or line of the plane, filled or drawn. Widths are px of the screen. */
export interface Figure {
  path: Path2D;
  fill?: string;
  stroke?: string;
  width?: number;
  alpha?: number;
}

/** Outlines given in mm. */
export class FigureLayer implements Layer {
  readonly pieces: number;
  constructor(private readonly figures: Figure[]) {
    this.pieces = figures.length;
  }

  paint(ctx: Ctx, camera: Camera, _seen: Box, from: number, to: number): void {
    ctx.save();
    ctx.setTransform(camera.scale, 0, 0, camera.scale, -camera.x * camera.scale, -camera.y * camera.scale);
    for (const f of this.figures.slice(from, to)) {
      ctx.globalAlpha = f.alpha ?? 1;
      if (f.fill) {
        ctx.fillStyle = f.fill;
        ctx.fill(f.path, 'evenodd');
      }
      if (f.stroke) {
        ctx.strokeStyle = f.stroke;
        ctx.lineWidth = (f.width ?? 1) / camera.scale;
        ctx.stroke(f.path);
      }
    }
    ctx.restore();
  }
}
