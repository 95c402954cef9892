// Changes of a job: each takes one and gives a new one. A change is kept as a
// function, so that it can be made again on a newer revision from another window.

import type { Job, Match, OutlineRegion as Region, Rule, Stone } from '../api/types';

export type Change = (job: Job) => Job;

/** What a region's rule may say. */
export type Setting = {
  treatment?: string[] | 'auto';
  bed?: unknown;
  stone?: Stone;
  gap?: string;
  margin?: string;
  colours?: unknown;
  accents?: unknown;
  fill?: unknown;
  skip?: boolean;
};

/** Sets keys of the whole job; undefined takes one out. */
export function setJob(patch: Record<string, unknown>): Change {
  return (job) => cleaned({ ...job, ...patch });
}

export function setStone(patch: Stone): Change {
  return (job) => ({ ...job, stone: { ...job.stone, ...patch } });
}

function cleaned<T extends Record<string, unknown>>(of: T): T {
  return Object.fromEntries(Object.entries(of).filter(([, v]) => v !== undefined)) as T;
}

/** Says whether a rule's match picks the region: every key that it has must fit. */
export function takes(match: Match, region: Region): boolean {
  if (match.fill !== undefined && !sameColour(match.fill, region.fill)) return false;
  if (match.stroke !== undefined && !sameColour(match.stroke, region.stroke)) return false;
  if (match.id !== undefined && match.id !== region.id && match.id !== region.element && !region.groups.includes(match.id)) return false;
  if (match.class !== undefined && !region.classes.includes(match.class)) return false;
  return match.layer === undefined || match.layer === region.layer;
}

function sameColour(a: string, b: string | undefined): boolean {
  return !!b && a.toLowerCase() === b.toLowerCase();
}

/** The rule that sets a region, or undefined where it is as the job. */
export function ruleOf(job: Job, region: Region): Rule | undefined {
  return job.regions?.find((r) => takes(r.match, region));
}

/** What a setting comes to for the region: the rule's, or what the job has. */
export function settingOf(job: Job, region: Region, key: string): unknown {
  const rule = ruleOf(job, region);
  if (rule && key in rule) return rule[key];
  return (job as Record<string, unknown>)[key];
}

/**
 * Sets one region apart. A rule for it alone is changed, or made from the rule that
 * it had until now and put before all others, where it wins. What is set to
 * undefined goes back to the job's.
 */
export function setRegion(region: Region, patch: Setting): Change {
  return (job) => {
    const rules = [...(job.regions ?? [])];
    const own = rules.findIndex((r) => isOwn(r.match, region));
    const first = rules.findIndex((r) => takes(r.match, region));
    const base: Rule = own >= 0 && own === first ? rules[own]! : { ...(first >= 0 ? rules[first] : {}), match: { id: region.id } };
    const stone = patch.stone ? { stone: { ...base.stone, ...patch.stone } } : {};
    const made = cleaned({ ...base, ...patch, ...stone, ...(patch.skip === false ? { skip: undefined } : {}) }) as Rule;
    if (own >= 0 && own === first) rules[own] = made;
    else rules.unshift(made);
    return { ...job, regions: rules };
  };
}

function isOwn(match: Match, region: Region): boolean {
  return Object.keys(match).length === 1 && match.id === region.id;
}

/** Sets all regions that one rule of their colour, class or id would pick: a rule is made or changed. */
export function setAlike(match: Match, patch: Setting): Change {
  return (job) => {
    const rules = [...(job.regions ?? [])];
    const at = rules.findIndex((r) => JSON.stringify(r.match) === JSON.stringify(match));
    const base: Rule = at >= 0 ? rules[at]! : { match };
    const stone = patch.stone ? { stone: { ...base.stone, ...patch.stone } } : {};
    const made = cleaned({ ...base, ...patch, ...stone }) as Rule;
    if (at >= 0) rules[at] = made;
    else rules.unshift(made);
    return { ...job, regions: rules };
  };
}

/** Gives a region back to the job: its own rule goes. */
export function freeRegion(region: Region): Change {
  return (job) => {
    const rules = (job.regions ?? []).filter((r) => !isOwn(r.match, region));
    return cleaned({ ...job, regions: rules.length ? rules : undefined });
  };
}

export function hasOwnRule(job: Job, region: Region): boolean {
  return !!job.regions?.some((r) => isOwn(r.match, region));
}

/** A bed in its short or long form as one object. */
export function bedOf(value: unknown): Record<string, unknown> & { style: string } {
  if (typeof value === 'string') return { style: value };
  return { style: 'comb', ...(value as Record<string, unknown> | undefined) };
}

/** The shortest form of a bed for the job file. */
export function bedWritten(bed: Record<string, unknown> & { style: string }): unknown {
  const kept = cleaned(bed);
  return Object.keys(kept).length === 1 ? kept.style : kept;
}
