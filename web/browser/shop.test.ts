// The shop's book and lists of names on the page.
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { shared, type Bench } from './bench';
import { unzip } from './readers';

const { open } = shared();
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

async function part(b: Bench, name: string, head = name): Promise<void> {
  await b.page.getByRole('navigation', { name: 'The shop' }).getByRole('link', { name, exact: true }).click();
  await b.page.getByRole('heading', { name: head, exact: true, level: 1 }).waitFor();
}

test('the shop: stock, a pack, what to buy, a customer, a job, a price', async () => {
  const b = await open();
  await b.begin({ file: 'star.svg' });
  const need = (await b.layout()).counts[0]!;
  await b.station('Papers');
  await b.press(b.button('Make the files'));
  await b.page.getByRole('link', { name: 'Download everything' }).waitFor({ timeout: 90_000 });

  await b.page.goto(`${b.program.url}#/shop/stock`);
  await b.page.getByText('Nothing has been booked yet').waitFor();
  await b.type(b.field('Number'), '2');
  await b.choose(b.field('Size'), need.size);
  await b.choose(b.field('Colour'), need.colour);
  await b.type(b.field('Cost of all'), '6.50');
  await b.press(b.button('Book it'));
  // 2 gross are 288 pieces: a gross is 144 by definition.
  await b.page.getByRole('row', { name: new RegExp(`${need.size} ${need.colour} 288 2\\.0 6\\.50`) }).waitFor();

  await part(b, 'Buy list');
  await b.type(b.field('Supplier'), 'Reedbed Supplies');
  await b.choose(b.field('Size'), need.size);
  await b.choose(b.field('Colour'), need.colour);
  await b.type(b.field('Price a pack'), '20');
  await b.press(b.button('Keep this pack'));
  await b.page.getByRole('cell', { name: 'Reedbed Supplies' }).waitFor();
  await b.page.getByRole('spinbutton', { name: /^Transfers of star/ }).fill('100');
  await b.press(b.button('Find what to buy'));
  await b.page.getByText('from Reedbed Supplies').first().waitFor();

  await part(b, 'Customers');
  await b.type(b.field('Name'), 'Saltmarsh Herons');
  await b.press(b.button('Add'));
  await b.page.getByRole('cell', { name: 'Saltmarsh Herons' }).waitFor();

  await part(b, 'Jobs');
  await b.page.getByRole('combobox', { name: 'Design', exact: true }).selectOption({ label: 'star' });
  await b.page.getByRole('combobox', { name: 'For', exact: true }).selectOption({ label: 'Saltmarsh Herons' });
  await b.press(b.button('Book it'));
  await b.press(b.page.getByRole('button', { name: /^Promise/ }));
  await b.page.getByRole('cell', { name: 'promised', exact: true }).waitFor();

  await part(b, 'Prices');
  await b.type(b.field('Design'), 'star');
  await b.type(b.field('Price each'), '12.50');
  await b.press(b.button('Put it on the list'));
  await expect.poll(() => b.page.getByRole('textbox', { name: /^Price of star/ }).inputValue()).toBe('12.50');
  await b.page.reload();
  await expect.poll(() => b.page.getByRole('textbox', { name: /^Price of star/ }).inputValue()).toBe('12.50');
  expect(b.complaints).toEqual([]);
});

test('no rule of accessibility is broken in the shop', async () => {
  const b = await open({ bypassCSP: true });
  await b.page.goto(`${b.program.url}#/shop/jobs`);
  for (const name of ['Jobs', 'Stock', 'Buy list', 'Customers', 'Templates', 'Prices']) {
    await part(b, name);
    await b.page.evaluate(axe);
    const broken = await b.page.evaluate(async () => {
      const run = (window as unknown as { axe: { run: () => Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> } }).axe;
      return (await run.run()).violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`);
    });
    expect(broken, name).toEqual([]);
  }
});

test('a list of names: its faults stand beside the cells, the other rows are made', async () => {
  const b = await open();
  await b.begin({ lettering: { text: '{name}', face: 'EMS Readability', height: '20 mm' } }, 'drawing', { effort: 'live', stone: { size: 'SS6', colour: '{colour|crystal}' } as never });
  await b.page.goto(`${b.program.url}#/design/${b.id}/list`);
  const list = 'name,colour,quantity\nOtter,,2\nReed,blu,\nSplash,siam,\n';
  await b.page.setInputFiles('input[type=file]', { name: 'crew.csv', mimeType: 'text/csv', buffer: Buffer.from(list) });
  const wrong = b.page.getByRole('row', { name: /Reed/ });
  await wrong.waitFor();
  expect(await wrong.textContent()).toMatch(/colour/);
  expect(await b.page.locator('tr.faulty').count()).toBe(1);
  await b.press(b.button('Make the other 2 rows'));
  const all = b.page.getByRole('link', { name: 'Download everything' });
  await all.waitFor({ timeout: 100_000 });
  const { names } = unzip((await b.download(() => b.press(all))).path);
  expect(names).toEqual(expect.arrayContaining(['roster.csv', 'sheet-1.svg', 'ticket.pdf']));
});
