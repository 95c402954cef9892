import { paint, turns, type Finish } from './glass';

export interface Look {
  hex: string;
  finish: Finish;
}

/** Radii, px, at which a stone is painted; every other size is drawn from the next larger one. */
const masters = [16, 48, 112];

/** A sprite is drawn at this many places within a pixel each way, so that rows stay even. */
const phases = 2;

/** Bounds the memory of one set: some kinds in all turns and phases at a few zooms. */
const mostSprites = 3000;

type Picture = ImageBitmap | OffscreenCanvas;

/** Pictures of stones and their shadows by kind, turn and size, each made once. */
export class Sprites {
  private readonly masters = new Map<string, OffscreenCanvas>();
  private readonly stones = new Map<string, Picture>();
  private readonly shadows = new Map<number, Picture>();
  private sheet: Picture[] = [];
  private sheetKey = '';

  /** Draws a stone with the centre (x, y) and the radius, all in px of the canvas, with its shadow if that is asked. */
  stone(ctx: Ctx, look: Look, turn: number, x: number, y: number, radius: number, shaded = false): void {
    const r = quantised(radius);
    const half = halfSide(r, shaded);
    const px = Math.floor(x * phases + 0.5);
    const py = Math.floor(y * phases + 0.5);
    const ix = Math.floor(px / phases);
    const iy = Math.floor(py / phases);
    const phase = (px - ix * phases) * phases + (py - iy * phases);
    ctx.drawImage(this.all(look, r, shaded)[turn * phases * phases + phase]!, ix - half, iy - half);
  }

  /** The sprites of a look at a radius: stones of one kind come one after the other. */
  private all(look: Look, r: number, shaded: boolean): Picture[] {
    const key = `${look.hex} ${look.finish} ${r} ${shaded}`;
    if (key === this.sheetKey) return this.sheet;
    const out: Picture[] = [];
    for (let turn = 0; turn < turns; turn++) {
      for (let phase = 0; phase < phases * phases; phase++) out.push(this.sprite(look, turn, r, phase, shaded));
    }
    this.sheetKey = key;
    this.sheet = out;
    return out;
  }

  private sprite(look: Look, turn: number, r: number, phase: number, shaded: boolean): Picture {
    const key = `${look.hex} ${look.finish} ${turn} ${r} ${phase} ${shaded}`;
    const kept = this.stones.get(key);
    if (kept) return kept;
    if (this.stones.size > mostSprites) this.stones.clear();
    const master = this.master(look, turn, masters.find((m) => m >= r) ?? masters[masters.length - 1]!);
    const half = halfSide(r, shaded);
    const made = drawn(2 * half + 1, (ctx) => {
      const scaled = master.width * (r / this.masterRadius(master));
      const cx = half + Math.floor(phase / phases) / phases;
      const cy = half + (phase % phases) / phases;
      if (shaded) this.shadow(ctx, cx, cy, r);
      ctx.imageSmoothingQuality = 'high';
      ctx.drawImage(master, cx - scaled / 2, cy - scaled / 2, scaled, scaled);
    });
    this.stones.set(key, made);
    return made;
  }

  private masterRadius(master: OffscreenCanvas): number {
    return master.width / 2 - 1;
  }

  private master(look: Look, turn: number, radius: number): OffscreenCanvas {
    const key = `${look.hex} ${look.finish} ${turn} ${radius}`;
    const kept = this.masters.get(key);
    if (kept) return kept;
    const side = 2 * radius + 2;
    const canvas = new OffscreenCanvas(side, side);
    const ctx = canvas.getContext('2d')!;
    const image = ctx.createImageData(side, side);
    paint(image.data, side, radius, look.hex, look.finish, turn);
    ctx.putImageData(image, 0, 0);
    this.masters.set(key, canvas);
    return canvas;
  }

  /** Draws the soft shadow of a stone on the cloth. */
  shadow(ctx: Ctx, x: number, y: number, radius: number): void {
    const r = quantised(radius);
    let sprite = this.shadows.get(r);
    if (!sprite) {
      const half = Math.ceil(r * 1.5) + 1;
      sprite = drawn(2 * half, (c) => {
        const dark = c.createRadialGradient(half, half, r * 0.66, half, half, r * 1.36);
        dark.addColorStop(0, 'rgba(0,0,0,0.55)');
        dark.addColorStop(0.5, 'rgba(0,0,0,0.27)');
        dark.addColorStop(1, 'rgba(0,0,0,0)');
        c.fillStyle = dark;
        c.fillRect(0, 0, 2 * half, 2 * half);
      });
      this.shadows.set(r, sprite);
    }
    ctx.drawImage(sprite, Math.round(x + r * 0.1 - sprite.width / 2), Math.round(y + r * 0.16 - sprite.height / 2));
  }
}

export type Ctx = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

/** Half the side of a sprite, px, without its middle. */
function halfSide(r: number, shaded: boolean): number {
  return shaded ? Math.ceil(r * 1.68) + 1 : Math.ceil(r) + 1;
}

/** Small stones come in quarters of a pixel, large ones in whole pixels. */
function quantised(radius: number): number {
  return radius < 10 ? Math.max(0.5, Math.round(radius * 4) / 4) : Math.round(radius);
}

function drawn(side: number, draw: (ctx: OffscreenCanvasRenderingContext2D) => void): Picture {
  const canvas = new OffscreenCanvas(side, side);
  draw(canvas.getContext('2d')!);
  return canvas.transferToImageBitmap();
}
