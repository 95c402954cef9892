// Who cannot see colours well, works by ear, or without a mouse; and lists of names, which are checked so too.
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { checked, sound } from './axe';
import { shared, type Bench } from './bench';
import { unzip } from './readers';

const { open } = shared();

test('no rule of accessibility is broken on any station, in dark or light', async () => {
  const b = await open({ ...checked, colorScheme: 'dark' });
  await b.home();
  expect(await b.page.evaluate(() => document.documentElement.dataset.theme)).toBe('dark'); // as the system has it
  await sound(b, 'shelf');
  await b.begin({ sample: 'heart' });
  await b.finished();
  for (const s of ['Drawing', 'Stones', 'Plates', 'Sheets', 'Papers'] as const) {
    await b.station(s);
    await sound(b, s);
  }
  await b.station('Stones');
  await b.press(b.page.getByRole('button', { name: /^Colour/ }).first());
  await b.press(b.page.locator('.findings'));
  await b.press(b.page.getByText('Patterns and mixed sizes'));
  await b.press(b.page.getByText('From a list of names'));
  await sound(b, 'Stones, all open');
  await b.page.keyboard.press('?');
  await b.page.getByRole('dialog').waitFor();
  await sound(b, 'keys');
  await b.page.keyboard.press('Escape');
  const list = await listed(b);
  await sound(b, 'list');
  await b.page.setInputFiles('input[type=file]', list('name,colour\nSplash,jet\nMudlark,no such colour\n'));
  await b.page.getByText('1 row with a fault').waitFor();
  await sound(b, 'list with a fault');
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
