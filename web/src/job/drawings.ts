// Several drawings in one design: where each lies, how large it is, how it is turned.

import type { Job } from '../api/types';
import type { Change } from './rules';

export interface Drawing {
  file: string;
  id?: string;
  width?: string;
  height?: string;
  turn?: string;
  at?: [number | string, number | string];
}

/** The job's drawings; one that stands under `artwork` counts as one. */
export function drawingsOf(job: Job): Drawing[] {
  if (Array.isArray(job.drawings)) return job.drawings as Drawing[];
  return job.artwork ? [{ file: job.artwork, ...(job.width ? { width: job.width } : {}), ...(job.height && !job.width ? { height: job.height } : {}) }] : [];
}

/** Writes drawings in the shortest form: one alone, as it was drawn, stands under `artwork`. */
export function withDrawings(list: Drawing[]): Change {
  return (job) => {
    const { drawings: _, artwork: __, width, height, widths, ...rest } = job;
    const sides = { ...(width ? { width } : {}), ...(height ? { height } : {}), ...(widths ? { widths } : {}) };
    if (list.length === 0) return { ...rest, ...sides } as Job;
    const [first] = list as [Drawing];
    if (list.length === 1 && !first.turn) {
      const own = first.width ? { width: first.width } : first.height ? { height: first.height } : {};
      return { ...rest, artwork: first.file, ...(Object.keys(sides).length ? sides : own) } as Job;
    }
    // Sizes of their own: with a width of the job all would be brought to it together.
    return { ...rest, drawings: list } as Job;
  };
}

/** One more drawing, in the middle of the first. */
export function addDrawing(file: string): Change {
  return (job) => withDrawings([...drawingsOf(job), { file }])(job);
}

export function patchDrawing(i: number, patch: Partial<Drawing>): Change {
  return (job) => {
    const list = drawingsOf(job).map((d, k) => (k === i ? (Object.fromEntries(Object.entries({ ...d, ...patch }).filter(([, v]) => v !== undefined)) as unknown as Drawing) : d));
    return withDrawings(list)(job);
  };
}

export function removeDrawing(i: number): Change {
  return (job) => withDrawings(drawingsOf(job).filter((_, k) => k !== i))(job);
}

/** The place of a drawing's middle as the job file has it: shares of the first drawing's box. */
export function placeOf(middle: { x: number; y: number }, first: [number, number, number, number]): [number, number] {
  const share = (v: number, from: number, to: number) => Math.round(((v - from) / Math.max(to - from, 1e-9)) * 1e4) / 1e4;
  return [share(middle.x, first[0], first[2]), share(middle.y, first[1], first[3])];
}
