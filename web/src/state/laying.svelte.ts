import { themeColour } from '../view/colours';
import { parseLength } from '../geo/length';
import { holds, lay, lying, nextPlace, sheetAt, sizeOf, snapped, turnedAbout, type Lying, type Rules } from '../job/places';
import { toScreen, type Camera } from '../view/camera';
import { plateAt, sheetOrigins } from '../view/sheets';
import { app } from './app.svelte';
import type { OpenDesign } from './design.svelte';
import { stage, type Press, type Tool } from './stage.svelte';

/** Laying moves and turns plates on the sheets, with mouse, finger and keys. */
export class Laying implements Tool {
  picked = $state(-1);
  /** Where the picked plate is held now, and whether it may lie there. */
  held = $state.raw<{ at: Lying; ok: boolean } | null>(null);
  private grip = { x: 0, y: 0 };

  constructor(private readonly design: OpenDesign) {}

  get cursor(): string {
    return this.held ? 'grabbing' : 'grab';
  }

  get rules(): Rules {
    const sheet = (this.design.job.sheet ?? {}) as Record<string, unknown>;
    const mm = (key: string, usual: number) => parseLength(String(sheet[key] ?? '')) ?? usual;
    return { margin: mm('margin', 6), spacing: sheet.common === true || sheet.common === 'yes' ? 0 : mm('spacing', 3), turn: sheet.turn !== false && sheet.turn !== 'no' };
  }

  private at(plate: number): Lying | undefined {
    return this.design.layout ? lying(this.design.layout).find((p) => p.plate === plate) : undefined;
  }

  press(p: Press): boolean {
    const layout = this.design.layout;
    const hit = layout && plateAt(layout, p.x, p.y);
    if (!hit) return false;
    this.picked = hit.placed.plate;
    this.grip = { x: p.x - hit.origin - hit.placed.x, y: p.y - hit.placed.y };
    return true;
  }

  drag(p: Press): void {
    const layout = this.design.layout;
    const was = this.at(this.picked);
    if (!layout || !was) return;
    const origins = sheetOrigins(layout);
    const sheet = sheetAt(layout.sheets, origins, p.x);
    const origin = origins[layout.sheets.findIndex((s) => s.number === sheet)] ?? 0;
    this.hold({ ...was, sheet, x: p.x - origin - this.grip.x, y: p.y - this.grip.y });
  }

  private hold(at: Lying): void {
    const layout = this.design.layout!;
    const near = snapped(layout, at, this.rules);
    this.held = { at: near, ok: holds(layout, near, this.rules) };
    stage.repaint();
  }

  drop(p: Press): void {
    this.drag(p);
    this.put();
  }

  cancel(): void {
    this.held = null;
    stage.repaint();
  }

  tap(p: Press): void {
    const layout = this.design.layout;
    this.picked = (layout && plateAt(layout, p.x, p.y)?.placed.plate) ?? -1;
    stage.repaint();
  }

  doubleTap(p: Press): void {
    this.tap(p);
    this.turn();
  }

  key(e: KeyboardEvent): boolean {
    const ways: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const was = this.at(this.picked);
    const layout = this.design.layout;
    if (e.ctrlKey || e.metaKey || e.altKey || !layout) return false;
    if (e.key === 'Enter' && !was) {
      this.picked = layout.plates[0]?.number ?? -1;
      stage.repaint();
      return true;
    }
    if (!was) return false;
    const way = ways[e.key];
    const letter = e.key.toLowerCase();
    if (e.key === 'Escape') this.picked = -1;
    else if (letter === 't') this.turn();
    else if (letter === 's') this.next();
    else if (e.key === 'Enter') this.picked = layout.plates[(layout.plates.findIndex((p) => p.number === this.picked) + 1) % layout.plates.length]!.number;
    else if (way) {
      const step = e.shiftKey ? 10 : 1;
      const at = { ...was, x: was.x + way[0] * step, y: was.y + way[1] * step };
      this.held = { at, ok: holds(layout, at, this.rules) };
      this.put();
    } else return false;
    stage.repaint();
    return true;
  }

  /** Turns the picked plate by a quarter, about its middle, pushed in from the edges where it must. */
  turn(): void {
    const layout = this.design.layout;
    const was = this.at(this.picked);
    if (!layout || !was || !this.rules.turn) return;
    const at = turnedAbout(layout, was);
    const { w, h } = sizeOf(layout, at);
    const sheet = layout.sheets.find((s) => s.number === at.sheet)!;
    const m = this.rules.margin;
    this.hold({ ...at, x: Math.max(m, Math.min(at.x, sheet.width - m - w)), y: Math.max(m, Math.min(at.y, sheet.height - m - h)) });
    this.put();
  }

  /** Lays the picked plate at the next free place, also on another sheet: over a neighbour, where steps do not lead. */
  next(): void {
    const layout = this.design.layout;
    const was = this.at(this.picked);
    if (!layout || !was) return;
    const at = nextPlace(layout, was, this.rules);
    if (!at) {
      app.said = this.design.news = 'There is no other free place for this plate.';
      return;
    }
    this.held = { at, ok: true };
    this.put();
  }

  private put(): void {
    const held = this.held;
    this.held = null;
    stage.repaint();
    if (!held || !this.design.layout) return;
    if (!held.ok) {
      app.said = 'There is no room here: the plate stays where it was.';
      this.design.news = app.said;
      return;
    }
    app.said = `Plate ${held.at.plate} laid`;
    this.design.change(lay(this.design.layout, held.at));
  }

  overlay = (ctx: CanvasRenderingContext2D, camera: Camera): void => {
    const layout = this.design.layout;
    if (!layout) return;
    const origins = sheetOrigins(layout);
    ctx.font = '600 13px "Atkinson Hyperlegible Next", system-ui, sans-serif';
    ctx.fillStyle = themeColour('--ink');
    origins.forEach((o, i) => ctx.fillText(`Sheet ${layout.sheets[i]!.number}`, (o - camera.x) * camera.scale, (-4 - camera.y) * camera.scale));
    const at = this.held?.at ?? this.at(this.picked);
    if (!at) return;
    const { w, h } = sizeOf(layout, at);
    const p = toScreen(camera, (origins[layout.sheets.findIndex((s) => s.number === at.sheet)] ?? 0) + at.x, at.y);
    const bad = this.held !== null && !this.held.ok;
    ctx.fillStyle = this.held ? (bad ? 'rgba(160,29,27,0.45)' : 'rgba(111,211,171,0.3)') : 'transparent';
    ctx.fillRect(p.x, p.y, w * camera.scale, h * camera.scale);
    ctx.lineWidth = 3;
    ctx.strokeStyle = bad ? '#ff9c90' : '#6fd3ab';
    ctx.strokeRect(p.x, p.y, w * camera.scale, h * camera.scale);
  };
}
