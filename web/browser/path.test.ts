// The way through the job, from a drawing to files that other programs read.
import { execFileSync } from 'node:child_process';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, inject, test } from 'vitest';
import { example, shared, type Bench } from './bench';
import { drawn, dxfCircles, dxfOfCircles, soundPDF, unzip } from './readers';

const { open } = shared();

const everything = (b: Bench) => b.page.getByRole('link', { name: 'Download everything' });

async function made(b: Bench): Promise<void> {
  await b.station('Papers');
  await b.press(b.button('Make the files'));
  await everything(b).waitFor({ timeout: 50_000 });
}

test('the sample: at most 6 actions, and every file is sound for its outside reader', async () => {
  const b = await open();
  await b.home();
  await b.press(b.button('Heron badge'));
  await b.station('Papers');
  await b.press(b.button('Make the files'));
  const zip = await b.download(() => b.press(everything(b)));
  expect(b.actions).toBeLessThanOrEqual(6);

  const { folder, names } = unzip(zip.path);
  expect(names).toEqual(expect.arrayContaining(['counts.csv', 'layout.json', 'proof.png', 'sheet-1.dxf', 'sheet-1.plt', 'sheet-1.svg', 'ticket.pdf']));
  const layout = JSON.parse(readFileSync(join(folder, 'layout.json'), 'utf8')) as { stones: unknown[] };
  expect(dxfCircles(join(folder, 'sheet-1.dxf'))).toBe(layout.stones.length);
  expect(drawn(join(folder, 'sheet-1.svg')).width).toBeGreaterThan(100);
  soundPDF(join(folder, 'ticket.pdf'));
  expect(b.complaints).toEqual([]);
  expect(b.outside).toEqual([]);
});

test('a drawing that is dropped: the very bytes of the command line', async () => {
  const b = await open();
  await b.home();
  const svg = readFileSync(example('regatta/star.svg'), 'utf8');
  const dataTransfer = await b.page.evaluateHandle((text) => {
    const t = new DataTransfer();
    t.items.add(new File([text], 'star.svg', { type: 'image/svg+xml' }));
    return t;
  }, svg);
  await b.page.dispatchEvent('.shelf', 'drop', { dataTransfer });
  await b.laid();
  expect(await b.stones()).toBeGreaterThan(20);
  await made(b);
  const { folder, names } = unzip((await b.download(() => b.press(everything(b)))).path);

  const own = join(folder, 'own');
  execFileSync(inject('program'), ['make', join(folder, 'star.yaml'), '-o', own], { stdio: 'pipe' });
  const files = readdirSync(own).sort();
  expect(names).toEqual([...files, 'star.svg', 'star.yaml'].sort());
  expect(readFileSync(join(folder, 'star.svg'), 'utf8')).toBe(svg);
  for (const name of files) expect(readFileSync(join(folder, name)).equals(readFileSync(join(own, name))), name).toBe(true);
});

test('a drawing that is chosen, in DXF as another program writes it', async () => {
  const b = await open();
  await b.home();
  await b.page.setInputFiles('input[type=file]', { name: 'ring.dxf', mimeType: 'application/dxf', buffer: dxfOfCircles([60, 40]) });
  await b.laid();
  // Two rows of SS10 along circles of 60 and 40 mm: at most 2πr over the pitch of 3.8 mm.
  const most = Math.floor((2 * Math.PI * 60) / 3.8) + Math.floor((2 * Math.PI * 40) / 3.8);
  const stones = (await b.layout()).stones.x;
  expect(stones.length).toBeGreaterThan(0.8 * most);
});

test('a name: at most 5 actions', async () => {
  const b = await open();
  await b.home();
  await b.type(b.field('Words or numbers'), 'Mudlark');
  await b.press(b.button('Set it in stones'));
  await b.page.locator('.tally .findings').waitFor();
  b.actions++;
  await b.page.keyboard.press('m');
  await everything(b).waitFor({ timeout: 50_000 });
  const { folder } = unzip((await b.download(() => b.press(everything(b)))).path);
  expect(b.actions).toBeLessThanOrEqual(5);
  expect((JSON.parse(readFileSync(join(folder, 'layout.json'), 'utf8')) as { stones: unknown[] }).stones.length).toBeGreaterThan(100);
  expect(b.complaints).toEqual([]);
});

test('a single file is as in the zip', async () => {
  const b = await open();
  await b.sample('Regatta heart');
  await made(b);
  const ticket = await b.download(() => b.press(b.page.getByRole('link', { name: 'ticket.pdf' })));
  soundPDF(ticket.path);
  const { folder } = unzip((await b.download(() => b.press(everything(b)))).path);
  expect(readFileSync(join(folder, 'ticket.pdf')).equals(ticket.data)).toBe(true);
});

test('a drawing that cannot be read is refused in words, and nothing is left behind', async () => {
  const b = await open();
  await b.home();
  const before = (await b.api<unknown[]>('/api/designs')).length;
  await b.page.setInputFiles('input[type=file]', { name: 'letter.svg', mimeType: 'image/svg+xml', buffer: Buffer.from('Dear Herons') });
  const told = b.page.getByRole('alert');
  await told.waitFor();
  expect(await told.textContent()).toMatch(/letter\.svg/);
  expect((await b.api<unknown[]>('/api/designs')).length).toBe(before);
});

test('a change after the files were made takes them away until they are made anew', async () => {
  const b = await open();
  await b.sample();
  await made(b);
  await b.choose(b.field('Language'), 'es');
  for (const [name, says] of [['The ticket', 'Piedras'], ['Customer’s proof', 'Prueba para revisar'], ['Care cards', 'Heron badge']]) {
    const { path } = await b.download(() => b.press(b.page.getByRole('link', { name: `Download: ${name}` })));
    expect(execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' })).toContain(says);
  }
  await b.choose(b.field('Paper of the ticket'), 'letter');
  await b.button('Make the files').waitFor();
  expect(await b.side.textContent()).toContain('has changed since');
});
