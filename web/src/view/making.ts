import type { Layout } from '../api/types';
import type { Step } from '../job/steps';
import { toScreen, type Camera } from './camera';
import { Sprites } from './sprites';

const sprites = new Sprites();

/** How long each movement lasts, ms. */
const lasts: Record<Step['do'], number> = { lay: 250, brush: 1600, check: 0, hinge: 900, fold: 700, lift: 900, done: 0 };

/** Making moves what the steps move, over the plate: the brush, the tape and its hinge. */
export class Making {
  private layout: Layout | null = null;
  private step: Step | null = null;
  private tape: 'none' | 'down' | 'up' = 'none';
  private hangs: (stone: number) => boolean = () => false;
  private begun = 0;
  private readonly still = typeof matchMedia !== 'undefined' && matchMedia('(prefers-reduced-motion: reduce)').matches;

  /** Shows a step; `hangs` says which stones are on the tape after it. */
  show(layout: Layout, step: Step | null, tape: 'none' | 'down' | 'up', hangs: (stone: number) => boolean): void {
    if (step !== this.step) this.begun = performance.now();
    this.layout = layout;
    this.step = step;
    this.tape = tape;
    this.hangs = hangs;
  }

  /** Paints the moment; gives true while something moves. */
  paint(ctx: CanvasRenderingContext2D, camera: Camera): boolean {
    const { layout, step } = this;
    if (!layout || !step) return false;
    const long = lasts[step.do];
    const t = long === 0 || this.still ? 1 : Math.min(1, (performance.now() - this.begun) / long);
    const [x0, y0, x1, y1] = layout.plates[0]!.frame;
    const a = toScreen(camera, x0, y0);
    const b = toScreen(camera, x1, y1);
    const box = { x: a.x, y: a.y, w: b.x - a.x, h: b.y - a.y };
    if (step.do === 'brush' && t < 1) this.brush(ctx, box, t);
    if (step.do === 'hinge' || step.do === 'fold') this.sheetOfTape(ctx, camera, box, t);
    else if (step.do === 'lift') this.sheetOfTape(ctx, camera, box, 1 - t);
    else if (this.tape === 'up' && step.do !== 'done') this.sheetOfTape(ctx, camera, box, 0);
    return t < 1;
  }

  /** A soft brush that goes in circles over the plate. */
  private brush(ctx: CanvasRenderingContext2D, box: Rect, t: number): void {
    const turns = 5;
    const angle = t * turns * 2 * Math.PI;
    const r = Math.min(box.w, box.h) * 0.14;
    const cx = box.x + box.w * (0.15 + 0.7 * t) + r * Math.cos(angle);
    const cy = box.y + box.h * (0.5 + 0.3 * Math.sin(t * 3 * Math.PI)) + r * Math.sin(angle);
    const size = Math.min(box.w, box.h) * 0.12;
    ctx.fillStyle = 'rgba(0,0,0,0.3)';
    ctx.beginPath();
    ctx.ellipse(cx + 4, cy + 6, size, size * 0.7, 0, 0, 2 * Math.PI);
    ctx.fill();
    ctx.fillStyle = '#c9b48a';
    ctx.beginPath();
    ctx.ellipse(cx, cy, size, size * 0.7, 0, 0, 2 * Math.PI);
    ctx.fill();
    ctx.fillStyle = '#6b4a2c';
    ctx.beginPath();
    ctx.roundRect(cx - size * 0.55, cy - size * 0.42, size * 1.1, size * 0.7, size * 0.2);
    ctx.fill();
  }

  /** The tape with what hangs on it, hinged along the left edge: 0 folded back, 1 down on the plate. */
  private sheetOfTape(ctx: CanvasRenderingContext2D, camera: Camera, box: Rect, down: number): void {
    const hinge = box.x - 0.04 * box.w;
    const angle = (1 - down) * 0.92 * Math.PI; // 0: flat on the plate
    const reach = 1.08 * box.w * Math.cos(angle);
    const rise = 0.22 * box.h * Math.sin(angle);
    ctx.beginPath();
    ctx.moveTo(hinge, box.y - 6);
    ctx.lineTo(hinge + reach, box.y - 6 - rise);
    ctx.lineTo(hinge + reach, box.y + box.h + 6 - rise);
    ctx.lineTo(hinge, box.y + box.h + 6);
    ctx.closePath();
    ctx.fillStyle = 'rgba(214, 228, 240, 0.28)';
    ctx.fill();
    ctx.strokeStyle = 'rgba(214, 228, 240, 0.85)';
    ctx.lineWidth = 1.5;
    ctx.stroke();
    if (down < 1) this.onTape(ctx, camera, hinge, Math.cos(angle), rise / (1.08 * box.w));
    ctx.fillStyle = '#c98f3a';
    ctx.fillRect(hinge - 5, box.y - 6, 8, box.h + 12);
  }

  /**
   * The stones on the tape: turned about the hinge with it, raised the more the farther from it they
   * are. From above one sees their faces through the tape, and their backs, grey with glue, once it lies open.
   */
  private onTape(ctx: CanvasRenderingContext2D, camera: Camera, hinge: number, turn: number, raise: number): void {
    const { stones, kinds } = this.layout!;
    for (let s = 0; s < stones.x.length; s++) {
      if (!this.hangs(s)) continue;
      const p = toScreen(camera, stones.x[s]!, stones.y[s]!);
      const far = p.x - hinge;
      const kind = kinds[stones.kind[s]!]!;
      const [x, y, r] = [hinge + far * turn, p.y - far * raise, (kind.diameter / 2) * camera.scale];
      if (turn > 0) sprites.stone(ctx, kind, 0, x, y, r);
      else disc(ctx, x, y, r);
    }
  }
}

function disc(ctx: CanvasRenderingContext2D, x: number, y: number, r: number): void {
  ctx.beginPath();
  ctx.arc(x, y, r, 0, 2 * Math.PI);
  ctx.fillStyle = '#a8a196';
  ctx.fill();
  ctx.lineWidth = Math.max(0.5, 0.16 * r);
  ctx.strokeStyle = '#6f6a61';
  ctx.stroke();
}

interface Rect {
  x: number;
  y: number;
  w: number;
  h: number;
}
