// Edits of single stones. Places are shares of the drawn width and height, so that
// an edit stays at its place of the artwork when the width or the stones change.

import type { HandEdit, Job, Stone } from '../api/types';
import type { Change } from './rules';

export interface Place {
  x: number;
  y: number;
}

export interface Size {
  width: number;
  height: number;
}

/** Of one design, as the program bounds them. */
export const mostEdits = 1000;

/** A share with four decimals: 0.02 mm on a garment 9 in wide. */
export function share(p: Place, of: Size): [number, number] {
  const one = (v: number) => Math.min(1, Math.max(0, Math.round(v * 1e4) / 1e4));
  return [one(p.x / of.width), one(p.y / of.height)];
}

export function addStone(region: string, p: Place, of: Size, stone: Stone): HandEdit {
  return { add: { region, at: share(p, of), stone } };
}

export function moveStone(region: string, from: Place, to: Place, of: Size): HandEdit {
  return { move: { region, at: share(from, of), to: share(to, of) } };
}

export function removeStone(region: string, p: Place, of: Size): HandEdit {
  return { remove: { region, at: share(p, of) } };
}

export function recolourStone(region: string, p: Place, of: Size, colour: string): HandEdit {
  return { recolour: { region, at: share(p, of), colour } };
}

export function pinStone(region: string, p: Place, of: Size): HandEdit {
  return { pin: { region, at: share(p, of) } };
}

/** Appends edits to the job's. */
export function withEdits(edits: HandEdit[]): Change {
  return (job) => (edits.length === 0 ? job : { ...job, hand: [...(job.hand ?? []), ...edits] });
}

/** Takes all edits out, or those of one region. */
export function withoutEdits(region?: string): Change {
  return (job) => {
    const kept = region === undefined ? [] : (job.hand ?? []).filter((e) => regionOf(e) !== region);
    const { hand: _, ...rest } = job;
    return kept.length ? { ...rest, hand: kept } : (rest as Job);
  };
}

export function regionOf(edit: HandEdit): string {
  return Object.values(edit)[0]!.region;
}

/** The same edit on the other side of the middle line; `regionAt` names the region there, null where there is none. */
export function mirrored(edit: HandEdit, regionAt: (p: [number, number], was: string) => string | null): HandEdit | null {
  const flip = (p: [number, number]): [number, number] => [Math.round((1 - p[0]) * 1e4) / 1e4, p[1]];
  const [kind, body] = Object.entries(edit)[0] as [string, { region: string; at: [number, number]; to?: [number, number] }];
  // A stone on the middle line is its own image.
  if (Math.abs(body.at[0] - 0.5) < 0.002 && (!body.to || Math.abs(body.to[0] - 0.5) < 0.002)) return null;
  const at = flip(body.at);
  const region = regionAt(at, body.region);
  if (region === null) return null;
  const made = { ...body, region, at, ...(body.to ? { to: flip(body.to) } : {}) };
  return { [kind]: made } as unknown as HandEdit;
}

/** The edits with their images behind them. */
export function bothSides(edits: HandEdit[], regionAt: (p: [number, number], was: string) => string | null): HandEdit[] {
  return edits.flatMap((e) => {
    const image = mirrored(e, regionAt);
    return image ? [e, image] : [e];
  });
}
