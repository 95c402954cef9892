import type { Box, Camera } from './camera';
import type { Ctx } from './sprites';

/** Something painted in the plane, piece by piece, so that long work can be shared out over frames. */
export interface Layer {
  pieces: number;
  /** Paints the pieces from..to; the camera's scale is in px of the canvas. `seen` is the part that is looked at. */
  paint(ctx: Ctx, camera: Camera, seen: Box, from: number, to: number): void;
}

/** How much wider than the screen a shot is, each way: panning goes that far without a new one. */
const spare = 0.3;
/** What may be painted of a shot in one frame while the view moves, ms. */
const slice = 7;
/** How long the view stands still before it is painted sharp again, ms. */
const settle = 110;
const block = 400;

interface Shot {
  canvas: OffscreenCanvas;
  camera: Camera; // of its top-left corner, px of the canvas
  version: number;
}

interface Work {
  shot: Shot;
  layer: number;
  piece: number;
}

/**
 * Scene shows layers on a canvas. While the view moves, the last shot is moved and
 * stretched; a sharp one is painted beside it in slices and then takes its place.
 */
export class Scene {
  private layers: Layer[] = [];
  private front: Shot | null = null;
  private spareCanvas: OffscreenCanvas | null = null;
  private work: Work | null = null;
  private version = 0;
  private camera: Camera = { x: 0, y: 0, scale: 1 };
  private lastMove = 0;
  private frame = 0;
  private width = 1;
  private height = 1;
  private ratio = 1;
  /** Painted on top of every frame: marks, ghosts, rulers. */
  overlay: (ctx: CanvasRenderingContext2D, camera: Camera) => void = () => {};
  ground = '#dfe1dc';
  /** Frames and shots painted, and the time frames took, for measuring. */
  readonly tally = { frames: 0, ms: 0, shots: 0 };

  constructor(private readonly canvas: HTMLCanvasElement) {}

  resize(width: number, height: number, ratio: number): void {
    this.width = Math.max(1, Math.round(width * ratio));
    this.height = Math.max(1, Math.round(height * ratio));
    this.ratio = ratio;
    this.canvas.width = this.width;
    this.canvas.height = this.height;
    this.front = this.spareCanvas = this.work = null;
    this.show();
  }

  setLayers(layers: Layer[]): void {
    this.layers = layers;
    this.changed();
  }

  /** The layers look different now: paint them in the next frame, in one go. */
  changed(): void {
    this.version++;
    this.show();
  }

  setCamera(camera: Camera): void {
    this.camera = camera;
    this.lastMove = performance.now();
    this.show();
  }

  /** Asks for a frame. */
  show(): void {
    if (this.frame === 0) this.frame = requestAnimationFrame(() => this.draw());
  }

  stop(): void {
    cancelAnimationFrame(this.frame);
    this.frame = 0;
  }

  private get view(): Camera {
    return { x: this.camera.x, y: this.camera.y, scale: this.camera.scale * this.ratio };
  }

  private draw(): void {
    this.frame = 0;
    const start = performance.now();
    const fresh = this.front?.version === this.version;
    if (!fresh) {
      this.begin();
      this.goOn(Infinity);
    } else if (!this.sharp()) {
      const still = start - this.lastMove > settle;
      if (still || !this.covered()) {
        if (!this.work || (still && this.work.shot.camera.scale !== this.view.scale)) this.begin();
        this.goOn(slice);
      }
      this.show();
    }
    this.compose();
    this.tally.frames++;
    this.tally.ms += performance.now() - start;
  }

  /** Says whether the front shot can be shown as it is, and reaches far enough around. */
  private sharp(): boolean {
    return this.front !== null && this.front.camera.scale === this.view.scale && this.covered();
  }

  /** Says whether the shot covers the whole screen. */
  private covered(): boolean {
    if (!this.front) return false;
    const v = this.view;
    const c = this.front.camera;
    const x0 = (v.x - c.x) * c.scale;
    const y0 = (v.y - c.y) * c.scale;
    const grow = c.scale / v.scale;
    return x0 >= 0 && y0 >= 0 && x0 + this.width * grow <= this.front.canvas.width && y0 + this.height * grow <= this.front.canvas.height;
  }

  private begin(): void {
    const w = Math.ceil(this.width * (1 + 2 * spare));
    const h = Math.ceil(this.height * (1 + 2 * spare));
    const canvas = this.spareCanvas ?? new OffscreenCanvas(w, h);
    this.spareCanvas = canvas;
    const v = this.view;
    // Whole pixels, so that a shot that is only moved stays sharp.
    const camera = { x: v.x - Math.round(this.width * spare) / v.scale, y: v.y - Math.round(this.height * spare) / v.scale, scale: v.scale };
    const ctx = canvas.getContext('2d', { alpha: false })!;
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.fillStyle = this.ground;
    ctx.fillRect(0, 0, w, h);
    this.work = { shot: { canvas, camera, version: this.version }, layer: 0, piece: 0 };
  }

  private goOn(ms: number): void {
    const work = this.work;
    if (!work) return;
    const until = performance.now() + ms;
    const { canvas, camera } = work.shot;
    const ctx = canvas.getContext('2d', { alpha: false })!;
    const seen = { x0: camera.x, y0: camera.y, x1: camera.x + canvas.width / camera.scale, y1: camera.y + canvas.height / camera.scale };
    while (work.layer < this.layers.length) {
      const layer = this.layers[work.layer]!;
      const to = Math.min(layer.pieces, work.piece + block);
      layer.paint(ctx, camera, seen, work.piece, to);
      work.piece = to;
      if (to >= layer.pieces) {
        work.layer++;
        work.piece = 0;
      }
      if (performance.now() > until) return;
    }
    this.spareCanvas = this.front?.canvas ?? null;
    this.front = work.shot;
    this.tally.shots++;
    this.work = null;
  }

  private compose(): void {
    const ctx = this.canvas.getContext('2d', { alpha: false })!;
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    const v = this.view;
    if (this.front) {
      const c = this.front.camera;
      const grow = v.scale / c.scale;
      const x = (c.x - v.x) * v.scale;
      const y = (c.y - v.y) * v.scale;
      if (!this.covered()) {
        ctx.fillStyle = this.ground;
        ctx.fillRect(0, 0, this.width, this.height);
      }
      if (grow === 1) {
        ctx.drawImage(this.front.canvas, Math.round(x), Math.round(y));
      } else {
        ctx.imageSmoothingQuality = 'low';
        ctx.drawImage(this.front.canvas, x, y, this.front.canvas.width * grow, this.front.canvas.height * grow);
      }
    }
    ctx.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    this.overlay(ctx, this.camera);
  }
}
