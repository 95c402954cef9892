import { expect, test } from 'vitest';
import type { Job, OutlineRegion } from '../api/types';
import { bedOf, bedWritten, freeRegion, hasOwnRule, ruleOf, setJob, setRegion, setStone, settingOf, takes } from './rules';

function region(patch: Partial<OutlineRegion>): OutlineRegion {
  return { id: 'wing', d: '', fill: '#1f4e79', open: false, classes: [], groups: [], rule: -1, skipped: false, box: [0, 0, 1, 1], ...patch };
}

const job: Job = {
  design: 'Heron badge',
  stone: { size: 'SS6', colour: 'crystal' },
  regions: [
    { match: { class: 'wing' }, treatment: ['rim', 'bed'], bed: 'echo', stone: { size: 'SS10', colour: 'light sapphire' } },
    { match: { fill: '#1f4e79' }, treatment: ['spine'] },
  ],
};
const wing = region({ classes: ['wing'] });

test('matches are those of the job file', () => {
  expect(takes({ fill: '#1F4E79' }, wing)).toBe(true);
  expect(takes({ stroke: '#1f4e79' }, wing)).toBe(false);
  expect(takes({ id: 'bird' }, region({ groups: ['bird'] }))).toBe(true);
  expect(takes({ id: 'bird', class: 'wing' }, region({ groups: ['bird'] }))).toBe(false);
  expect(takes({}, wing)).toBe(true);
  expect(takes({ layer: 'CUT' }, region({ layer: 'CUT' }))).toBe(true);
});

test('the first rule that matches wins', () => {
  expect(ruleOf(job, wing)).toBe(job.regions![0]);
  expect(ruleOf(job, region({}))).toBe(job.regions![1]);
  expect(ruleOf(job, region({ fill: '#fff' }))).toBeUndefined();
  expect(settingOf(job, wing, 'bed')).toBe('echo');
  expect(settingOf(job, wing, 'stone')).toEqual({ size: 'SS10', colour: 'light sapphire' });
});

test('one region set apart keeps all that its rule said, and only it changes', () => {
  const next = setRegion(wing, { stone: { colour: 'jet' } })(job);
  expect(next.regions![0]).toEqual({ match: { id: 'wing' }, treatment: ['rim', 'bed'], bed: 'echo', stone: { size: 'SS10', colour: 'jet' } });
  expect(next.regions).toHaveLength(3);
  expect(ruleOf(next, region({ id: 'other', classes: ['wing'] }))).toEqual(job.regions![0]);
  expect(job.regions).toHaveLength(2);
});

test('a second change goes into the same rule', () => {
  const next = setRegion(wing, { gap: '1 mm' })(setRegion(wing, { stone: { colour: 'jet' } })(job));
  expect(next.regions).toHaveLength(3);
  expect(next.regions![0]!.gap).toBe('1 mm');
});

test('no stones, and stones again', () => {
  const off = setRegion(wing, { skip: true })(job);
  expect(off.regions![0]!.skip).toBe(true);
  const on = setRegion(wing, { skip: undefined, treatment: ['rim'] })(off);
  expect('skip' in on.regions![0]!).toBe(false);
});

test('a region goes back to the others', () => {
  const own = setRegion(wing, { gap: '1 mm' })(job);
  expect(hasOwnRule(own, wing)).toBe(true);
  expect(freeRegion(wing)(own)).toEqual(job);
  expect('regions' in freeRegion(wing)({ regions: [{ match: { id: 'wing' } }] })).toBe(false);
});

test('settings of the job; undefined takes one out', () => {
  expect(setJob({ gap: '1 mm' })(job).gap).toBe('1 mm');
  expect('design' in setJob({ design: undefined })(job)).toBe(false);
  expect(setStone({ colour: 'jet' })(job).stone).toEqual({ size: 'SS6', colour: 'jet' });
});

test('beds in short and long form', () => {
  expect(bedOf('echo')).toEqual({ style: 'echo' });
  expect(bedOf(undefined)).toEqual({ style: 'comb' });
  expect(bedWritten({ style: 'comb' })).toBe('comb');
  expect(bedWritten({ style: 'courses', angle: '30 deg', columns: undefined })).toEqual({ style: 'courses', angle: '30 deg' });
});
