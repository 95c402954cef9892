// Each station, and what the whole page keeps.
import { expect, test } from 'vitest';
import { shared } from './bench';

const { open } = shared();

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
