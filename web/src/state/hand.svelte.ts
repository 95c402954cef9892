import type { HandEdit, Kind, Layout, OutlineRegion } from '../api/types';
import { Grid } from '../geo/grid';
import { inside, nearest, rings, type Point } from '../geo/path';
import { snap, type Ground, type Want } from '../geo/snap';
import { addStone, bothSides, mostEdits, moveStone, recolourStone, removeStone, withEdits } from '../job/hand';
import { rowOf } from '../job/row';
import { some } from '../geo/length';
import type { Camera } from '../view/camera';
import { air, outlined, ring } from '../view/marks';
import { app } from './app.svelte';
import type { OpenDesign } from './design.svelte';
import { stage, type Press, type Tool } from './stage.svelte';

export type Mode = 'pick' | 'add' | 'paint';

/** How far a stone jumps to a legal place, mm; more than the largest pitch of the catalogue. */
const reach = 12;

/** Hand is what mouse, touch and keys do to single stones and regions on the stones' station. */
export class Hand implements Tool {
  mode = $state<Mode>('pick');
  colour = $state('crystal');
  size = $state('SS10');
  both = $state(false);
  region = $state<string | null>(null);
  stone = $state(-1);
  over = $state<string | null>(null);
  /** A stone in the air: where it would be set, null where it cannot be, and whether others make way for it. */
  carried = $state.raw<{ from: number; at: Point; place: Point | null; way?: boolean } | null>(null);
  painted = $state.raw<Set<number>>(new Set());

  private layout: Layout | null = null;
  private grid = new Grid([], []);
  /** The stones that a person set: they make way for nobody. */
  private fixed: number[] = [];
  private fixedGrid = new Grid([], []);
  private ground = new Map<string, Ground>();
  private paths = new Map<string, Path2D>();
  private place: Point | null = null;
  private keys = false;

  constructor(private readonly design: OpenDesign) {}

  get cursor(): string {
    return this.mode === 'pick' ? (this.over ? 'pointer' : 'grab') : 'crosshair';
  }

  /** Takes a new layout; a picked stone is found again by its place. */
  take(layout: Layout): void {
    this.layout = layout;
    const { x, y, role } = layout.stones;
    this.grid = new Grid(x, y);
    const hand = layout.roles.indexOf('hand');
    this.fixed = role.flatMap((r, i) => (r === hand ? [i] : []));
    this.fixedGrid = new Grid(this.fixed.map((i) => x[i]!), this.fixed.map((i) => y[i]!));
    this.painted = new Set();
    if (this.stone >= 0 && this.place) this.stone = this.grid.nearest(this.place.x, this.place.y, 2);
    this.colour ||= layout.kinds[0]?.colour ?? 'crystal';
  }

  takeOutline(regions: OutlineRegion[]): void {
    this.ground = new Map(regions.map((r) => [r.id, { rings: rings(r.d), open: r.open }]));
    this.paths = new Map(regions.map((r) => [r.id, new Path2D(r.d)]));
  }

  path(region: string): Path2D | undefined {
    return this.paths.get(region);
  }

  /** The region at a point: the last drawn that it lies in, or the line it lies near. */
  regionAt(p: Point): string | null {
    let line: string | null = null;
    let area: string | null = null;
    for (const [id, g] of this.ground) {
      if (g.open) {
        if (nearest(g.rings, p, false).distance < Math.max(1.5, 8 / stage.scale)) line = id;
      } else if (inside(g.rings, p)) {
        area = id;
      }
    }
    return line ?? area;
  }

  stoneAt(p: Press | Point, touch = false): number {
    if (!this.layout) return -1;
    const slack = (touch ? 14 : 5) / stage.scale;
    const s = this.grid.nearest(p.x, p.y, 5 + slack);
    if (s < 0) return -1;
    const d = Math.hypot(this.layout.stones.x[s]! - p.x, this.layout.stones.y[s]! - p.y);
    return d <= this.kind(s).diameter / 2 + slack ? s : -1;
  }

  kind(s: number): Kind {
    return this.layout!.kinds[this.layout!.stones.kind[s]!]!;
  }

  at(s: number): Point {
    return { x: this.layout!.stones.x[s]!, y: this.layout!.stones.y[s]! };
  }

  regionOf(s: number): string {
    return this.layout!.regions[this.layout!.stones.region[s]!]!.id;
  }

  describe(s: number): string {
    const k = this.kind(s);
    return `${k.size} ${k.colour}, ${this.layout!.roles[this.layout!.stones.role[s]!]} of ${this.regionOf(s)}`;
  }

  pick(region: string | null, stone = -1): void {
    this.region = region;
    this.stone = stone;
    this.place = stone >= 0 ? this.at(stone) : null;
    if (stone >= 0) app.said = this.describe(stone);
    else if (region) app.said = `Region ${region}`;
    const route = app.route;
    if (route.page === 'design') {
      const { region: _, ...rest } = route;
      app.note(region ? { ...rest, region } : rest);
    }
    stage.repaint();
  }

  // The pointer.

  hover(p: Press | null): void {
    this.over = p ? this.regionAt(p) : null;
    if (this.mode === 'add' && p) this.aim(-1, p);
    else if (this.mode === 'add' && !this.keys) this.carried = null;
    stage.repaint();
  }

  press(p: Press): boolean {
    if (this.mode === 'paint') return this.stoneAt(p, p.touch) >= 0;
    if (this.mode === 'add') return false;
    return this.stone >= 0 && this.stoneAt(p, p.touch) === this.stone;
  }

  drag(p: Press): void {
    if (this.mode === 'paint') {
      const s = this.stoneAt(p, p.touch);
      if (s >= 0 && !this.painted.has(s)) this.painted = new Set(this.painted).add(s);
    } else {
      this.aim(this.stone, p);
    }
    stage.repaint();
  }

  drop(_: Press): void {
    if (this.mode === 'paint') this.paint([...this.painted]);
    else this.putDown();
  }

  cancel(): void {
    this.carried = null;
    this.painted = new Set();
    this.keys = false;
    stage.repaint();
  }

  tap(p: Press): void {
    const s = this.stoneAt(p, p.touch);
    if (this.mode === 'add') {
      this.aim(-1, p);
      this.putDown();
    } else if (this.mode === 'paint') {
      if (s >= 0) this.paint([s]);
    } else {
      const region = s >= 0 ? this.regionOf(s) : this.regionAt(p);
      // The first tap picks the region, a second one the stone under it.
      this.pick(region, region === this.region && s >= 0 ? s : -1);
    }
  }

  doubleTap(p: Press): void {
    const s = this.stoneAt(p, p.touch);
    if (s < 0) return;
    if (this.mode === 'paint') this.paint(this.row(s));
    else this.pick(this.regionOf(s), s);
  }

  // The keys.

  key(e: KeyboardEvent): boolean {
    if (e.ctrlKey || e.metaKey || e.altKey) return false;
    const ways: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[e.key];
    if (way) return this.arrow(way, e.shiftKey);
    switch (e.key.length === 1 ? e.key.toLowerCase() : e.key) {
      case 'Enter':
        return this.enter();
      case 'Escape':
        if (this.carried) this.cancel();
        else this.pick(this.stone >= 0 ? this.region : null);
        return true;
      case 'Delete':
      case 'Backspace':
        if (this.stone < 0) return false;
        this.remove();
        return true;
      case 'c':
        if (this.stone >= 0) this.paint([this.stone]);
        return this.stone >= 0;
      case 'r':
        if (this.stone >= 0) this.paint(this.row(this.stone));
        return this.stone >= 0;
    }
    return false;
  }

  private arrow([dx, dy]: [number, number], far: boolean): boolean {
    if (this.carried) {
      const step = far ? 1 : 0.1;
      const at = { x: this.carried.at.x + dx * step, y: this.carried.at.y + dy * step };
      this.aim(this.carried.from, at);
      app.said = this.carried.place ? `at ${app.length(this.carried.place.x)}, ${app.length(this.carried.place.y)}${this.carried.way ? ', others make way' : ''}` : 'no room here';
      stage.repaint();
      return true;
    }
    if (this.stone < 0) {
      if (!this.region || !this.layout) return false;
      const first = this.layout.stones.region.findIndex((r) => this.layout!.regions[r]!.id === this.region);
      if (first >= 0) this.pick(this.region, first);
      return first >= 0;
    }
    const next = this.grid.towards(this.stone, dx, dy);
    if (next >= 0) this.pick(this.regionOf(next), next);
    return true;
  }

  private enter(): boolean {
    if (this.carried) {
      this.putDown();
      return true;
    }
    if (this.mode === 'add') {
      const at = this.beginning();
      if (!at) return false;
      this.keys = true;
      this.aim(-1, at);
      app.said = 'A stone in the air: arrow keys move it, Enter sets it.';
      stage.repaint();
      return true;
    }
    if (this.stone < 0) return false;
    this.keys = true;
    this.aim(this.stone, this.at(this.stone));
    app.said = 'Taken up: arrow keys move it, Enter puts it down, Escape leaves it.';
    stage.repaint();
    return true;
  }

  /** Where a new stone begins that is set by keys: at the picked stone, amid the picked region, or amid the design. */
  private beginning(): Point | null {
    const layout = this.layout;
    if (!layout) return null;
    if (this.stone >= 0) return this.at(this.stone);
    const { x, y, region } = layout.stones;
    const own = region.flatMap((r, i) => (layout.regions[r]!.id === this.region ? [i] : []));
    if (own.length === 0) return { x: layout.width / 2, y: layout.height / 2 };
    const middle = (of: number[]) => own.reduce((sum, i) => sum + of[i]!, 0) / own.length;
    const [mx, my] = [middle(x), middle(y)];
    const far = (i: number) => Math.hypot(x[i]! - mx, y[i]! - my);
    return this.at(own.reduce((a, b) => (far(b) < far(a) ? b : a)));
  }

  // What is done.

  /** Looks for the legal place nearest to a point, for a stone that is moved (or −1: a new one). */
  private aim(from: number, at: Point): void {
    const layout = this.layout;
    if (!layout) return;
    const region = this.regionAt(at) ?? (from >= 0 ? this.regionOf(from) : this.region);
    const ground = region ? this.ground.get(region) : undefined;
    if (!region || !ground) {
      this.carried = { from, at, place: null };
      return;
    }
    const laid = this.design.laidRegion(region);
    const want: Want = { diameter: this.carriedDiameter(from), gap: laid?.gap ?? 0.8, margin: laid?.margin ?? 0, self: from };
    const among = (of: (s: number) => number, x: number[], y: number[]) => ({
      x,
      y,
      diameter: (s: number) => this.kind(of(s)).diameter,
      gap: (s: number) => layout.regions[layout.stones.region[of(s)]!]!.gap,
    });
    const { x, y } = layout.stones;
    // A free place close by; else the place itself, where all but stones set by hand make way.
    const free = snap(at, want, among((s) => s, x, y), this.grid, ground, 0.6 * (want.diameter + want.gap));
    if (free) {
      this.carried = { from, at, place: free };
      return;
    }
    const fixed = this.fixed;
    const stones = among((s) => fixed[s]!, fixed.map((i) => x[i]!), fixed.map((i) => y[i]!));
    const place = snap(at, { ...want, self: fixed.indexOf(from) }, stones, this.fixedGrid, ground, reach);
    this.carried = { from, at, place, way: true };
  }

  private carriedDiameter(from: number): number {
    if (from >= 0) return this.kind(from).diameter;
    return app.about?.sizes.find((s) => s.name === this.size)?.diameter ?? 2.9;
  }

  private putDown(): void {
    const c = this.carried;
    this.carried = null;
    this.keys = false;
    if (!c?.place || !this.layout) {
      app.said = 'There is no room near this place.';
      stage.repaint();
      return;
    }
    const region = this.regionAt(c.place) ?? this.region;
    if (c.from >= 0) {
      const was = this.regionOf(c.from);
      // Into another region, or a stone takes its place at its old one: it is taken out here and set there.
      if (region && region !== was) this.edit([removeStone(was, this.at(c.from), this.layout), addStone(region, c.place, this.layout, { size: this.kind(c.from).size, colour: this.kind(c.from).colour })], 'Stone moved');
      else this.edit([moveStone(was, this.at(c.from), c.place, this.layout)], 'Stone moved');
      this.place = c.place;
    } else if (region) {
      this.edit([addStone(region, c.place, this.layout, { size: this.size, colour: this.colour })], 'Stone set');
    }
  }

  remove(): void {
    if (this.stone < 0 || !this.layout) return;
    const region = this.regionOf(this.stone);
    this.edit([removeStone(region, this.at(this.stone), this.layout)], 'Stone taken out');
    this.pick(region);
  }

  /** Gives stones the chosen colour. */
  paint(stones: number[]): void {
    if (!this.layout || stones.length === 0) return;
    const other = stones.filter((s) => this.kind(s).colour !== this.colour);
    const edits = other.map((s) => recolourStone(this.regionOf(s), this.at(s), this.layout!, this.colour));
    this.painted = new Set(other);
    this.edit(edits, `${some(other.length, 'stone')} ${this.colour}`);
  }

  row(s: number): number[] {
    const laid = this.layout!.regions[this.layout!.stones.region[s]!]!;
    const bend = this.layout!.roles[this.layout!.stones.role[s]!] === 'rim' ? 115 : 75;
    return rowOf(s, this.layout!.stones, this.kind(s).diameter + laid.gap, this.grid, bend);
  }

  private edit(edits: HandEdit[], said: string): void {
    const all = this.both ? bothSides(edits, (p, was) => this.imageRegion(p, was)) : edits;
    const have = this.design.job.hand?.length ?? 0;
    if (have + all.length > mostEdits) {
      this.design.news = `A design holds ${mostEdits} edits by hand; this would make ${have + all.length}. Set the colour of the region or a pattern instead.`;
      this.cancel();
      return;
    }
    app.said = said;
    if (all.length > 0) this.design.change(withEdits(all));
  }

  private imageRegion(p: [number, number], was: string): string | null {
    if (!this.layout) return null;
    const at = { x: p[0] * this.layout.width, y: p[1] * this.layout.height };
    const own = this.ground.get(was);
    if (own && !own.open && inside(own.rings, at)) return was;
    return this.regionAt(at);
  }

  // On the screen.

  /** Paints marks over the mat: the region, the stone, what is in the air, what was painted over. */
  overlay = (ctx: CanvasRenderingContext2D, camera: Camera): void => {
    if (!this.layout) return;
    const scale = this.design.outline && this.design.outline.width > 0 ? this.layout.width / this.design.outline.width : 1;
    for (const [id, alpha] of [[this.over, 0.55], [this.region, 1]] as const) {
      const path = id ? this.paths.get(id) : undefined;
      if (!path || (this.mode !== 'pick' && id !== this.region)) continue;
      ctx.save();
      ctx.translate(-camera.x * camera.scale, -camera.y * camera.scale);
      ctx.scale(camera.scale * scale, camera.scale * scale);
      ctx.globalAlpha = alpha;
      outlined(ctx, path, camera.scale * scale);
      ctx.restore();
    }
    if (this.stone >= 0 && this.stone < this.layout.stones.x.length) ring(ctx, camera, this.at(this.stone), this.kind(this.stone).diameter / 2, '#ffffff');
    for (const s of this.painted) ring(ctx, camera, this.at(s), this.kind(s).diameter / 2, hexOf(this.colour));
    const c = this.carried;
    if (c) air(ctx, camera, c, this.carriedDiameter(c.from) / 2, hexOf(c.from >= 0 ? this.kind(c.from).colour : this.colour));
  };
}

function hexOf(colour: string): string {
  return app.about?.colours.find((c) => c.name === colour)?.hex ?? '#ffffff';
}
