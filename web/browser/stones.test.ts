// Regions and single stones, with mouse and keys.
import { expect, test } from 'vitest';
import type { HandEdit, Layout } from '../src/api/types';
import { shared, type Bench } from './bench';

const { open } = shared();

// A ring band and a bar: a region of its own each, wide enough for several rows of SS10.
const badge = '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80"><rect id="bar" x="5" y="5" width="110" height="20" fill="#1f4e79"/><path id="left" d="M5 40h50v35h-50z" fill="#c0392b"/><path id="right" d="M65 40h50v35h-50z" fill="#c0392b"/></svg>';

async function badged(more = {}): Promise<Bench> {
  const b = await open();
  await b.begin({ file: 'badge.svg', data: badge }, 'stones', more);
  return b;
}

const colours = (l: Layout) => Object.fromEntries(l.counts.map((c) => [c.colour, c.pieces]));
const edits = async (b: Bench) => (await b.job()).hand ?? [];
const only = (list: HandEdit[]) => list.map((e) => Object.keys(e)[0]);

/** Picks a stone as a person does: its region first, then the stone. Gives its place. */
async function picked(b: Bench, near: { x: number; y: number }): Promise<{ x: number; y: number }> {
  const { stones } = await b.layout();
  let at = { x: 0, y: 0 };
  let far = Infinity;
  stones.x.forEach((x, i) => {
    const d = Math.hypot(x - near.x, stones.y[i]! - near.y);
    if (d < far) [far, at] = [d, { x, y: stones.y[i]! }];
  });
  // The region by another of its stones: two presses on one would be a double press.
  const s = stones.x.findIndex((x, i) => x === at.x && stones.y[i] === at.y);
  const other = stones.x.findIndex((x, i) => stones.region[i] === stones.region[s] && Math.hypot(x - at.x, stones.y[i]! - at.y) > 8);
  await b.tapAt(stones.x[other]!, stones.y[other]!);
  await b.tapAt(at.x, at.y);
  await b.button('Take out').waitFor();
  return at;
}

test('a region is picked on the mat, stands in the address, and opens from there', async () => {
  const b = await badged();
  await b.tapAt(60, 25 - 5);
  await b.page.getByRole('heading', { name: 'bar' }).waitFor();
  expect(b.page.url()).toContain('region=bar');
  await b.page.reload();
  await b.page.getByRole('heading', { name: 'bar' }).waitFor();
});

test('one region is set apart: its colour changes, and no other', async () => {
  const b = await badged();
  await b.tapAt(60, 20);
  await b.press(b.page.getByRole('button', { name: /^Colour/ }).first());
  await b.press(b.button('siam'));
  await b.laid();
  const job = await b.job();
  expect(job.regions![0]).toMatchObject({ match: { id: 'bar' }, stone: { colour: 'siam' } });
  const laid = await b.layout();
  expect(colours(laid)['siam']).toBe(laid.regions.find((r) => r.id === 'bar')!.stones);
  await b.press(b.button('Set this region like the others again'));
  await b.saved();
  expect((await b.job()).regions).toBeUndefined();
});

test('a region is left without stones', async () => {
  const b = await badged();
  await b.press(b.page.getByRole('button', { name: /^left/ }));
  await b.press(b.button('No stones'));
  await b.laid();
  expect((await b.layout()).regions.map((r) => r.id)).not.toContain('left');
});

test('the size of all stones: fewer of a larger one', async () => {
  const b = await badged();
  const before = await b.stones();
  await b.choose(b.field('Size').first(), 'SS16');
  await b.laid();
  expect(await b.stones()).toBeLessThan(before);
  expect((await b.layout()).kinds.map((k) => k.size)).toEqual(['SS16']);
});

test('a slider answers while it is dragged, and is saved once when it is let go', async () => {
  const b = await badged();
  const before = { stones: await b.stones(), revision: (await b.design()).revision };
  const slider = b.field('Gap between stones');
  await slider.evaluate((el: HTMLInputElement) => {
    for (const v of ['1.5', '2', '2.5']) {
      el.value = v;
      el.dispatchEvent(new Event('input', { bubbles: true }));
    }
  });
  await expect.poll(() => b.stones()).toBeLessThan(before.stones);
  expect((await b.design()).revision).toBe(before.revision);
  await slider.evaluate((el) => el.dispatchEvent(new Event('change', { bubbles: true })));
  await b.saved();
  await expect.poll(async () => (await b.design()).revision).toBe(before.revision + 1);
  expect((await b.job()).gap).toBe('2.50 mm');
});

test('beds and patterns reach the stones', async () => {
  const b = await badged({ treatment: ['bed'] });
  await b.press(b.button('Courses'));
  await b.laid();
  await b.press(b.page.getByText('Patterns and mixed sizes'));
  await b.choose(b.field('Colours'), 'rows');
  await b.laid();
  const laid = await b.layout();
  expect(laid.regions.map((r) => r.bed)).toEqual(['courses', 'courses', 'courses']);
  expect(laid.kinds.length).toBe(2);
});

test('a stone is added where it is tapped, at a legal place', async () => {
  const b = await badged({ gap: '4 mm' });
  await b.press(b.button('Add'));
  await b.tapAt(60.3, 15.2);
  await expect.poll(async () => only(await edits(b))).toEqual(['add']);
  await b.laid();
  const { stones, roles, findings } = await b.layout();
  expect(stones.role.filter((r) => roles[r] === 'hand')).toHaveLength(1);
  expect(findings.filter((f) => f.broken)).toEqual([]);
});

test('a picked stone is dragged; it stands free of all others and stays where it was put', async () => {
  const b = await badged({ gap: '4 mm' });
  const at = await picked(b, { x: 60, y: 15 });
  await b.drag(at, { x: at.x + 2.2, y: at.y + 1 });
  await expect.poll(async () => only(await edits(b))).toEqual(['move']);
  await b.laid();
  const { stones, roles } = await b.layout();
  const s = stones.role.findIndex((r) => roles[r] === 'hand');
  const nearest = Math.min(...stones.x.map((x, i) => (i === s ? Infinity : Math.hypot(x - stones.x[s]!, stones.y[i]! - stones.y[s]!))));
  expect(nearest).toBeGreaterThan(2.9);
});

test('a stone is taken out, and comes back with undo', async () => {
  const b = await badged();
  const before = (await b.layout()).stones.x.length;
  await picked(b, { x: 60, y: 15 });
  await b.press(b.button('Take out'));
  await expect.poll(async () => (await b.layout()).stones.x.length).toBe(before - 1);
  await b.saved();
  await b.press(b.button('Undo'));
  await expect.poll(async () => (await b.layout()).stones.x.length).toBe(before);
});

test('paint: every stone under the stroke', async () => {
  const b = await badged();
  await b.press(b.button('Paint'));
  await b.press(b.page.getByRole('button', { name: /^Colour/ }).last());
  await b.press(b.button('jet').last());
  const { stones } = await b.layout();
  const row = Math.min(...stones.y.filter((_, i) => stones.x[i]! > 20 && stones.x[i]! < 90));
  await b.drag({ x: stones.x[stones.y.indexOf(row)]!, y: row }, { x: stones.x[stones.y.indexOf(row)]! + 30, y: row }, 24);
  await b.laid();
  expect(colours(await b.layout())['jet']).toBeGreaterThan(5);
  expect(new Set(only(await edits(b)))).toEqual(new Set(['recolour']));
});

test('a double press paints the whole row', async () => {
  const b = await badged({ treatment: ['rim'] });
  await b.press(b.button('Paint'));
  await b.press(b.page.getByRole('button', { name: /^Colour/ }).last());
  await b.press(b.button('jet').last());
  const first = await b.stone(3);
  const p = await b.at(first.x, first.y);
  await b.page.mouse.dblclick(p.x, p.y);
  await b.laid();
  const laid = await b.layout();
  const region = laid.regions[laid.stones.region[3]!]!;
  await expect.poll(async () => colours(await b.layout())['jet']).toBe(region.stones);
});

test('mirror: what is done on one side is done on the other', async () => {
  const b = await badged({ gap: '4 mm' });
  await b.press(b.button('Add'));
  await b.page.getByRole('checkbox', { name: /mirror/ }).check();
  await b.tapAt(21.4, 57.3);
  await expect.poll(async () => only(await edits(b))).toEqual(['add', 'add']);
  const [one, two] = (await edits(b)) as { add: { region: string; at: [number, number] } }[];
  expect([one!.add.region, two!.add.region]).toEqual(['left', 'right']);
  expect(one!.add.at[0] + two!.add.at[0]).toBeCloseTo(1, 3);
});

test('edits stay when the width and the gap change', async () => {
  const b = await badged({ gap: '4 mm' });
  await b.press(b.button('Add'));
  await b.tapAt(60, 15);
  await b.laid();
  const at = ((await edits(b))[0] as { add: { at: [number, number] } }).add.at;
  await b.station('Drawing');
  await b.type(b.field('Finished width'), '6 in');
  await b.page.keyboard.press('Enter');
  await b.laid();
  const { stones, roles, width, height } = await b.layout();
  expect(width).toBeCloseTo(152.4, 2);
  const s = stones.role.findIndex((r) => roles[r] === 'hand');
  expect(Math.hypot(stones.x[s]! / width - at[0], stones.y[s]! / height - at[1])).toBeLessThan(0.03);
});

test('by keys alone: to a stone, take it up, move it, put it down, recolour, take out', async () => {
  const b = await badged({ gap: '4 mm' });
  const press = (key: string) => b.page.keyboard.press(key);
  await b.page.getByRole('button', { name: /^bar/ }).focus();
  await press('Enter');
  await b.mat.focus();
  await press('ArrowRight');
  await press('ArrowRight');
  await b.button('Take out').waitFor();
  await press('Enter');
  for (let i = 0; i < 3; i++) await press('Shift+ArrowDown');
  await press('Enter');
  await expect.poll(async () => only(await edits(b))).toEqual(['move']);
  await b.laid();
  await press('Delete');
  await expect.poll(async () => only(await edits(b))).toEqual(['move', 'remove']);
  await b.laid();
  await press('a');
  await press('Enter');
  await press('Enter');
  await expect.poll(async () => only(await edits(b))).toContain('add');
  expect(b.complaints).toEqual([]);
});

test('undo and redo go on after a reload, as far back as there is anything', async () => {
  const b = await badged();
  for (const size of ['SS6', 'SS8', 'SS12']) {
    await b.choose(b.field('Size').first(), size);
    await b.saved();
  }
  await b.page.reload();
  await b.laid();
  for (const size of ['SS8', 'SS6', 'SS10']) {
    await b.page.keyboard.press('Control+z');
    await expect.poll(async () => (await b.job()).stone?.size).toBe(size);
  }
  await b.page.keyboard.press('Control+y');
  await expect.poll(async () => (await b.job()).stone?.size).toBe('SS6');
});

test('a finding flies to its place, and has an address', async () => {
  const b = await badged({ hand: [{ remove: { region: 'gone', at: [0.5, 0.5] } }, { add: { region: 'bar', at: [0.9, 0.95] } }] });
  await b.press(b.page.locator('.findings'));
  const list = b.page.getByRole('region', { name: 'Findings' });
  expect(await list.getByRole('listitem').count()).toBeGreaterThanOrEqual(1);
  expect(await list.textContent()).toMatch(/gone/);
  await b.page.keyboard.press('Escape');
  await b.page.keyboard.press('f');
  expect(b.complaints).toEqual([]);
});
