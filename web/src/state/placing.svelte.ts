import { patchDrawing, placeOf } from '../job/drawings';
import { toScreen, type Camera } from '../view/camera';
import { app } from './app.svelte';
import type { OpenDesign } from './design.svelte';
import { stage, type Press, type Tool } from './stage.svelte';

type Box = [number, number, number, number];

/** Placing moves drawings that lie over the first one, with mouse, finger and keys. */
export class Placing implements Tool {
  picked = $state(-1);
  private shift = $state.raw({ x: 0, y: 0 });
  private from: { x: number; y: number } | null = null;

  constructor(private readonly design: OpenDesign) {}

  private get boxes(): Box[] {
    return this.design.outline?.drawings?.map((d) => d.box) ?? [];
  }

  get cursor(): string {
    return this.picked > 0 ? 'move' : 'grab';
  }

  /** The topmost drawing at a point; the first is the ground and is not moved. */
  private at(p: { x: number; y: number }): number {
    return this.boxes.findLastIndex((b, i) => i > 0 && p.x >= b[0] && p.x <= b[2] && p.y >= b[1] && p.y <= b[3]);
  }

  press(p: Press): boolean {
    const i = this.at(p);
    if (i < 0) return false;
    this.picked = i;
    this.from = p;
    this.shift = { x: 0, y: 0 };
    return true;
  }

  drag(p: Press): void {
    if (this.from) this.shift = { x: p.x - this.from.x, y: p.y - this.from.y };
    stage.repaint();
  }

  drop(p: Press): void {
    this.drag(p);
    this.put(this.shift.x, this.shift.y);
    this.cancel();
  }

  cancel(): void {
    this.from = null;
    this.shift = { x: 0, y: 0 };
    stage.repaint();
  }

  tap(p: Press): void {
    this.picked = this.at(p);
    stage.repaint();
  }

  key(e: KeyboardEvent): boolean {
    const ways: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[e.key];
    if (this.picked < 1 || e.ctrlKey || e.metaKey || e.altKey) return false;
    if (e.key === 'Escape') {
      this.picked = -1;
      stage.repaint();
      return true;
    }
    if (!way) return false;
    const step = e.shiftKey ? 10 : 1;
    this.put(way[0] * step, way[1] * step);
    return true;
  }

  private put(dx: number, dy: number): void {
    const box = this.boxes[this.picked];
    const first = this.boxes[0];
    if (!box || !first || (dx === 0 && dy === 0)) return;
    const at = placeOf({ x: (box[0] + box[2]) / 2 + dx, y: (box[1] + box[3]) / 2 + dy }, first);
    app.said = 'Drawing moved';
    this.design.change(patchDrawing(this.picked, { at }));
  }

  overlay = (ctx: CanvasRenderingContext2D, camera: Camera): void => {
    this.boxes.forEach((b, i) => {
      if (i === 0) return;
      const moved = i === this.picked ? this.shift : { x: 0, y: 0 };
      const a = toScreen(camera, b[0] + moved.x, b[1] + moved.y);
      const c = toScreen(camera, b[2] + moved.x, b[3] + moved.y);
      ctx.setLineDash(i === this.picked ? [] : [4, 4]);
      ctx.lineWidth = 3;
      ctx.strokeStyle = 'rgba(0,0,0,0.6)';
      ctx.strokeRect(a.x, a.y, c.x - a.x, c.y - a.y);
      ctx.lineWidth = 1.5;
      ctx.strokeStyle = '#6fd3ab';
      ctx.strokeRect(a.x, a.y, c.x - a.x, c.y - a.y);
    });
  };
}
