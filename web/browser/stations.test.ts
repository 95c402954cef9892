// Each station, in both themes, with touch and without.
import { createRequire } from 'node:module';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { shared, type Bench } from './bench';
import { unzip } from './readers';

const { open, browser } = shared();
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe-core finds broken of WCAG 2.2 A and AA and of its best practices. */
async function broken(b: Bench): Promise<string[]> {
  await b.page.evaluate(axe);
  return b.page.evaluate(async () => {
    const run = (window as unknown as { axe: { run: () => Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> } }).axe;
    return (await run.run()).violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`);
  });
}

test.each(['light', 'dark'] as const)('no rule of accessibility is broken on any station, %s', async (colorScheme) => {
  // The checker is put in by the test; the page's own policy would not let it run.
  const b = await open({ colorScheme, bypassCSP: true });
  await b.home();
  expect(await broken(b), 'shelf').toEqual([]);
  await b.begin({ sample: 'heart' });
  await b.finished();
  for (const s of ['Drawing', 'Stones', 'Plates', 'Sheets', 'Papers'] as const) {
    await b.station(s);
    expect(await broken(b), s).toEqual([]);
  }
  await b.station('Stones');
  await b.press(b.page.getByRole('button', { name: /^Colour/ }).first());
  await b.press(b.page.locator('.findings'));
  await b.press(b.page.getByText('Patterns and mixed sizes'));
  await b.press(b.page.getByText('From a list of names'));
  expect(await broken(b), 'Stones, all open').toEqual([]);
  await b.page.keyboard.press('?');
  await b.page.getByRole('dialog').waitFor();
  expect(await broken(b), 'keys').toEqual([]);
  await b.page.keyboard.press('Escape');
  const list = await listed(b);
  expect(await broken(b), 'list').toEqual([]);
  await b.page.setInputFiles('input[type=file]', list('name,colour\nSplash,jet\nMudlark,no such colour\n'));
  await b.page.getByText('1 row with a fault').waitFor();
  expect(await broken(b), 'list with a fault').toEqual([]);
});

/** Opens the list of a design with a field, and gives what makes a list to be chosen. */
async function listed(b: Bench): Promise<(text: string) => { name: string; mimeType: string; buffer: Buffer }> {
  await b.begin({ lettering: { text: '{name|Crew}', face: 'Archivo ExtraBold', height: '20 mm' } }, 'stones', { stone: { size: 'SS6', colour: 'crystal' } });
  await b.press(b.page.getByText('From a list of names'));
  await b.page.getByLabel('the list says the colour').check();
  await b.field('Column of the colour').waitFor();
  await b.station('Drawing');
  await b.page.getByRole('link', { name: 'A whole list of names?' }).click();
  await b.page.getByRole('heading', { name: /^A list of names/ }).waitFor();
  return (text) => ({ name: 'crew.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
}

test('a list of names and colours: from the file to a zip that holds every transfer', async () => {
  const b = await open();
  const list = await listed(b);
  await b.page.setInputFiles('input[type=file]', list('name,colour,quantity\nSplash,jet,2\nMudlark,,1\n'));
  await b.page.getByRole('heading', { name: '3. 2 rows, 2 designs, 3 transfers' }).waitFor();
  await b.press(b.button('Make the transfers'));
  const all = b.page.getByRole('link', { name: 'Download everything' });
  await all.waitFor({ timeout: 60_000 });
  const { folder } = unzip((await b.download(() => b.press(all))).path);
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' });
  const layouts = files.filter((f) => f.endsWith('layout.json')).map((f) => JSON.parse(readFileSync(join(folder, f), 'utf8')) as { kinds: { colour: string }[] });
  expect(layouts.map((l) => l.kinds.map((k) => k.colour)).sort()).toEqual([['crystal'], ['jet']]);
  expect(files.filter((f) => f.endsWith('ticket.pdf')).length).toBeGreaterThanOrEqual(1);
  expect(b.complaints).toEqual([]);
});

test('the cheat sheet opens with a key and closes with Escape', async () => {
  const b = await open();
  await b.home();
  await b.page.keyboard.press('?');
  await b.page.getByRole('heading', { name: 'Keys', exact: true }).waitFor();
  await b.page.keyboard.press('Escape');
  await b.page.getByRole('heading', { name: 'Keys', exact: true }).waitFor({ state: 'hidden' });
});

test('theme and unit are kept', async () => {
  const b = await open({ colorScheme: 'light' });
  await b.begin({ file: 'star.svg' });
  // The drawing's own size is in mm, so that unit is the first until another is chosen.
  expect(await b.page.locator('.tally dd').first().textContent()).toMatch(/^[\d.]+ × [\d.]+ mm · /);
  await b.press(b.button('Dark theme'));
  await b.page.keyboard.press('u');
  await b.page.reload();
  await b.laid();
  expect(await b.page.evaluate(() => document.documentElement.dataset.theme)).toBe('dark');
  expect(await b.page.locator('.tally dd').first().textContent()).toMatch(/^[\d.]+ × [\d.]+ in · /);
});

test('the stations by number, and back with the browser', async () => {
  const b = await open();
  await b.begin({ file: 'star.svg' });
  await b.page.keyboard.press('3');
  await b.page.getByRole('complementary', { name: 'Plates' }).waitFor();
  await b.page.keyboard.press('1');
  await b.page.getByRole('complementary', { name: 'Drawing' }).waitFor();
  await b.page.goBack();
  await b.page.getByRole('complementary', { name: 'Plates' }).waitFor();
});

test('an empty shelf says what will be there', async () => {
  const b = await open();
  const { Program } = await import('./program');
  const own = new Program();
  await own.start();
  await b.page.goto(own.url);
  await b.page.getByText('There is none yet').waitFor();
  await own.end();
});

test('drawing: true size in the unit that is typed, the cloth by name', async () => {
  const b = await open();
  await b.begin({ file: 'star.svg' }, 'drawing');
  const width = b.field('Finished width');
  await b.type(width, 'very wide');
  await b.page.keyboard.press('Enter');
  await b.page.getByText('Write a number with in, mm or cm.').waitFor();
  await b.type(width, '3 1/2 in');
  await b.page.keyboard.press('Enter');
  await b.laid();
  expect((await b.layout()).width).toBeCloseTo(88.9, 2);
  await b.press(b.button('burgundy'));
  await b.saved();
  expect((await b.job()).garment).toBe('#561726');
});

test('lettering: the stones follow while it is typed', async () => {
  const b = await open();
  await b.begin({ lettering: { text: 'Hi', face: 'Archivo ExtraBold', height: '30 mm' } }, 'drawing');
  const before = await b.stones();
  const revision = (await b.design()).revision;
  await b.field('Words').pressSequentially('ero');
  await expect.poll(() => b.stones()).toBeGreaterThan(before);
  await b.field('Words').blur();
  await b.saved();
  expect((await b.design()).revision).toBe(revision + 1);
  await b.choose(b.field('Line'), 'above');
  await b.laid();
  await b.choose(b.field('Letters'), 'Pacifico');
  await b.laid();
  expect((await b.job()).lettering).toMatchObject([{ text: 'Hiero', face: 'Pacifico', arc: 'above' }]);
});

test('several drawings: one more is laid on, dragged, turned and taken out', async () => {
  const b = await open();
  await b.begin({ file: 'ring.svg' }, 'drawing');
  await b.page.setInputFiles('input[type=file]', { name: 'dot.svg', mimeType: 'image/svg+xml', buffer: Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"><rect id="dot" width="20" height="10"/></svg>') });
  await expect.poll(async () => ((await b.job()).drawings as unknown[] | undefined)?.length).toBe(2);
  await b.laid();
  const { width, height } = await b.layout();
  await b.drag({ x: width / 2, y: height / 2 }, { x: width / 2 + 10, y: height / 2 - 5 });
  await expect.poll(async () => (await b.job()).drawings).toMatchObject([{}, { at: [expect.any(Number), expect.any(Number)] }]);
  await b.saved();
  await b.field('Turned').last().fill('90');
  await expect.poll(async () => (await b.job()).drawings).toMatchObject([{}, { turn: '90 deg' }]);
  await b.laid();
  await b.press(b.button('Take this drawing out').last());
  await expect.poll(async () => (await b.job()).artwork).toBe('ring.svg');
});

test('plates: brush order, and the making step by step', async () => {
  const b = await open();
  await b.begin({ sample: 'heron' }, 'plates');
  const { plates } = await b.layout();
  await b.press(b.page.getByRole('button', { name: /^Plate 2/ }));
  expect(b.page.url()).toContain('plate=2');
  for (const kind of plates[1]!.order) await b.side.getByText(kind).first().waitFor();
  await b.page.keyboard.press('n');
  await b.page.keyboard.press('n');
  const now = b.page.locator('[aria-current=step]').last();
  expect(await now.textContent()).toContain(`Pour ${plates[0]!.order[0]}`);
  await b.page.keyboard.press('b');
  expect(await now.textContent()).toContain('Lay plate 1');
  await b.press(b.button('Play'));
  await b.press(b.button('Hold'));
  expect(b.complaints).toEqual([]);
});

test('sheets: a roll instead of sheets, in one piece of the right width', async () => {
  const b = await open();
  await b.begin({ sample: 'heron' }, 'sheets');
  await b.press(b.button('A roll'));
  await b.laid();
  const { sheets } = await b.layout();
  expect(sheets[0]!.width).toBeCloseTo(304.8, 3);
  expect(sheets[0]!.height).toBeLessThanOrEqual(800);
  expect((await b.job()).sheet).toEqual({ roll: '12 in' });
});

test('sheets: a plate is dragged, turned, and placed by the program again', async () => {
  const b = await open();
  await b.begin({ file: 'badge.svg', data: '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="30mm" viewBox="0 0 90 30"><rect id="a" width="40" height="30" fill="#111"/><rect id="b" x="50" width="40" height="30" fill="#222"/></svg>' }, 'sheets', { regions: [{ match: { id: 'b' }, stone: { colour: 'jet' } }] });
  const placed = async () => (await b.layout()).sheets[0]!.placed;
  const before = await placed();
  const one = before[0]!;
  await b.drag({ x: one.x + 20, y: one.y + 10 }, { x: one.x + 120, y: one.y + 210 });
  await expect.poll(async () => (await placed()).find((p) => p.plate === one.plate)!.y).toBeGreaterThan(one.y + 190);
  await b.laid();
  await b.press(b.button('Turn the picked plate'));
  await expect.poll(async () => (await placed()).find((p) => p.plate === one.plate)!.turned).toBe(true);
  await b.laid();
  expect((await b.layout()).findings).toEqual([]);
  await b.press(b.button('Place them for me'));
  await expect.poll(placed).toEqual(before);
});

test('a design that no sheet holds is refused in words, and undo brings it back', async () => {
  const b = await open();
  await b.begin({ file: 'star.svg' }, 'drawing');
  await b.type(b.field('Finished width'), '40 in');
  await b.page.keyboard.press('Enter');
  const told = b.page.getByRole('alert');
  await told.waitFor();
  expect(await told.textContent()).toMatch(/sheet/);
  await b.page.keyboard.press('Escape');
  await b.press(b.button('Undo'));
  await told.waitFor({ state: 'hidden' });
  await b.laid();
});

const tablet = { viewport: { width: 768, height: 1024 }, hasTouch: true, isMobile: true };

test('768 px: nothing is wider than the screen, and all that is pressed is large enough for a finger', async () => {
  const b = await open(tablet);
  await b.begin({ sample: 'heron' });
  for (const s of ['drawing', 'stones', 'plates', 'sheets', 'papers']) {
    await b.page.goto(`${b.program.url}#/design/${b.id}/${s}`);
    await b.side.waitFor();
    expect(await b.page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(768);
    // 24 px is WCAG 2.2's least (2.5.8); ours is 44 (2.5.5) but for boxes and swatches.
    const small = await b.page.locator('button:visible, select:visible, nav a:visible').evaluateAll((all) => all.filter((el) => el.getBoundingClientRect().height < 36).map((el) => el.textContent));
    expect(small, s).toEqual([]);
  }
});

test('touch: a tap picks a region, one finger moves the mat, two zoom it', async () => {
  const b = await open(tablet);
  await b.begin({ sample: 'heron' });
  const cdp = await b.page.context().newCDPSession(b.page);
  const touch = (type: string, points: { x: number; y: number }[]) => cdp.send('Input.dispatchTouchEvent', { type, touchPoints: points.map((p, id) => ({ ...p, id })) } as never);
  const eye = await b.at(90, 130);
  await b.page.touchscreen.tap(eye.x, eye.y);
  await b.button('All stones').waitFor();
  const camera = () => b.page.evaluate(() => ({ ...(window as unknown as { scene: { camera: { x: number; y: number; scale: number } } }).scene.camera }));
  const before = await camera();
  await touch('touchStart', [{ x: 400, y: 300 }]);
  for (let i = 1; i <= 8; i++) await touch('touchMove', [{ x: 400 + 10 * i, y: 300 }]);
  await touch('touchEnd', []);
  const moved = await camera();
  expect(moved.scale).toBe(before.scale);
  expect((before.x - moved.x) * before.scale).toBeGreaterThan(60);
  await touch('touchStart', [{ x: 350, y: 300 }, { x: 450, y: 300 }]);
  for (let i = 1; i <= 8; i++) await touch('touchMove', [{ x: 350 - 10 * i, y: 300 }, { x: 450 + 10 * i, y: 300 }]);
  await touch('touchEnd', []);
  expect((await camera()).scale / moved.scale).toBeGreaterThan(1.8);
});

test('touch: from a sample to the zip', async () => {
  const b = await open(tablet);
  await b.home();
  await b.button('Regatta heart').tap();
  await b.page.locator('.tally .findings').waitFor();
  await b.path.getByRole('link', { name: /^Papers/ }).tap();
  await b.button('Make the files').tap();
  const all = b.page.getByRole('link', { name: 'Download everything' });
  await all.waitFor({ timeout: 50_000 });
  expect((await b.download(() => all.tap())).name).toMatch(/\.zip$/);
});

test('the mat keeps its middle when the window is made smaller', async () => {
  const b = await open();
  await b.begin({ file: 'star.svg' });
  await b.mat.focus();
  for (let i = 0; i < 4; i++) await b.page.keyboard.press('+');
  const c = await b.page.evaluate(() => (window as unknown as { scene: { camera: { scale: number } } }).scene.camera.scale);
  await b.page.setViewportSize({ width: 1000, height: 700 });
  await expect.poll(() => b.mat.evaluate((el: HTMLCanvasElement) => el.clientWidth)).toBe(640);
  expect(await b.page.evaluate(() => (window as unknown as { scene: { camera: { scale: number } } }).scene.camera.scale)).toBe(c);
  await b.page.keyboard.press('0');
  expect(browser().isConnected()).toBe(true);
});
