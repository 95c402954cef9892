// What the program answers under /api. docs/formats/api.md tells what each means.

import type { Finish } from '../view/glass';

/** A job file as JSON: the keys of docs/formats/job.md. */
export type Job = Record<string, unknown> & {
  design?: string;
  artwork?: string;
  width?: string;
  height?: string;
  stone?: Stone;
  regions?: Rule[];
  hand?: HandEdit[];
  lettering?: Lettering[] | Lettering;
};

export interface Stone {
  size?: string;
  colour?: string;
}

export interface Match {
  fill?: string;
  stroke?: string;
  id?: string;
  class?: string;
  layer?: string;
}

export type Rule = Record<string, unknown> & { match: Match; stone?: Stone; skip?: boolean | string };

export type HandEdit =
  | { add: { region: string; at: [number, number]; stone?: Stone } }
  | { move: { region: string; at: [number, number]; to: [number, number] } }
  | { remove: { region: string; at: [number, number] } }
  | { recolour: { region: string; at: [number, number]; colour: string } }
  | { pin: { region: string; at: [number, number] } };

export type Lettering = Record<string, unknown> & { text: string; face?: string; height?: string; id?: string };

export interface About {
  version: string;
  samples: { id: string; name: string }[];
  faces: { name: string; lined: boolean }[];
  sizes: { name: string; diameter: number; smallest: number; hole: number; gap: number; everyday: boolean; source: string }[];
  colours: { name: string; hex: string; ab: boolean; finish: Finish; own: boolean; retired: boolean; sizes: string[] }[];
  garments: { name: string; hex: string }[];
  materials: string[];
  limits: { upload: number; job: number; edits: number; rules: number };
}

export interface DesignCard {
  id: string;
  name: string;
  changed: string;
  stones: number;
  width: number;
  height: number;
  picture: string;
  garment: string;
}

export interface Design {
  id: string;
  name: string;
  revision: number;
  first: number;
  last: number;
  job: Job;
  drawings: { name: string; bytes: number }[];
}

export interface Kind {
  size: string;
  colour: string;
  diameter: number;
  hole: number;
  hex: string;
  finish: Finish;
}

/** Stones as columns of one length: stone i is the i-th of each. */
export interface StoneColumns {
  x: number[];
  y: number[];
  kind: number[];
  region: number[];
  role: number[];
  plate: number[];
}

/** A region that gets stones. */
export interface LaidRegion {
  id: string;
  rule: number;
  treatment: string[];
  bed?: string;
  size: string;
  colour: string;
  gap: number;
  margin: number;
  open: boolean;
  stones: number;
  advice?: string;
}

/** A region of the artwork. */
export interface OutlineRegion {
  id: string;
  d: string;
  fill?: string;
  stroke?: string;
  open: boolean;
  element?: string;
  classes: string[];
  groups: string[];
  layer?: string;
  rule: number;
  skipped: boolean;
  box: [number, number, number, number];
}

export interface Outline {
  width: number;
  height: number;
  drawings?: { file: string; id?: string; box: [number, number, number, number]; own_width: number; own_height: number; turn: number }[];
  regions: OutlineRegion[];
  warnings: Note[];
}

export interface Count {
  size: string;
  colour: string;
  pieces: number;
  spare: number;
  gross: number;
  grams: number;
}

export interface Plate {
  number: number;
  frame: [number, number, number, number];
  notch: [number, number];
  nicks: [number, number, number, number][];
  order: string[];
  stones: number;
}

export interface Placed {
  plate: number;
  x: number;
  y: number;
  turned: boolean;
}

export interface Sheet {
  number: number;
  width: number;
  height: number;
  placed: Placed[];
}

export interface Finding {
  id: string;
  text: string;
  broken: boolean;
  x?: number;
  y?: number;
  region?: string;
  stone?: number;
  mend?: { label: string; job: Record<string, unknown> };
}

export interface Note {
  code: string;
  where?: string;
  region?: string;
  message: string;
}

export interface Layout {
  revision: number;
  width: number;
  height: number;
  ms: number;
  kinds: Kind[];
  roles: string[];
  stones: StoneColumns;
  regions: LaidRegion[];
  counts: Count[];
  total: Count;
  plates: Plate[];
  least: { plates: number; why: string };
  sheets: Sheet[];
  minutes?: { cut: number };
  cost?: { each?: string; currency?: string; missing?: string; code?: string; of?: string };
  fits: { size: string; fit: number; hole: number; own: boolean; source: string }[];
  findings: Finding[];
  notes: Note[];
  warnings: Note[];
  unused: number[];
}

export interface RunFile {
  name: string;
  bytes: number;
  kind: string;
}

export interface Problem {
  status: number;
  code: string;
  where: string;
  detail: string;
  help: string;
}
