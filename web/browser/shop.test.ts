// The shop's book on the page.
import { execFileSync } from 'node:child_process';
import { expect, test } from 'vitest';
import { checked, sound } from './axe';
import { shared, type Bench } from './bench';

const { open } = shared();

async function part(b: Bench, name: string): Promise<void> {
  await b.page.getByRole('navigation', { name: 'The shop' }).getByRole('link', { name, exact: true }).click();
  await b.page.getByRole('heading', { name, exact: true, level: 1 }).waitFor();
}

const parts = ['Jobs', 'Quotes', 'Stock', 'Buy list', 'Customers', 'Templates', 'Catalogue', 'Fits', 'Prices'];

/** No page of the shop breaks a rule, and none is wider than a narrow window. */
async function allSound(b: Bench, what: string): Promise<void> {
  for (const name of parts) {
    await part(b, name);
    await b.page.waitForLoadState('networkidle');
    await sound(b, `${name}, ${what}`);
  }
  await b.page.setViewportSize({ width: 768, height: 1024 });
  for (const name of parts) {
    await part(b, name);
    expect(await b.page.evaluate(() => document.documentElement.scrollWidth), name).toBeLessThanOrEqual(768);
  }
  await b.page.setViewportSize({ width: 1366, height: 800 });
}

/** The text of a paper that a link downloads, as poppler reads it. */
async function paper(b: Bench, name: string | RegExp): Promise<string> {
  const file = b.page.waitForEvent('download');
  await b.press(b.page.getByRole('link', { name }).or(b.page.getByRole('button', { name })));
  const path = await (await file).path();
  execFileSync('qpdf', ['--check', path]);
  return execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' });
}

test('a day in the shop: packs in, a quote, a job, the stones used, what to buy', async () => {
  const b = await open(checked);
  await b.begin({ lettering: { text: 'Heron' } });
  const design = b.id;
  await b.page.goto(`${b.program.url}#/shop/jobs`);
  await allSound(b, 'empty');

  await part(b, 'Prices');
  for (const [name, value] of [['Currency', 'GBP'], [/^Labour/, '18'], [/^Flock/, '6.50'], [/^Tape/, '0.80'], [/^Breaks/, '12:5%'], ['Shop', 'Saltmarsh Sparkle; Reed Lane 3']] as const) {
    await b.type(b.page.getByRole('textbox', { name, exact: typeof name === 'string' }), value);
    await b.page.keyboard.press('Tab');
  }
  await expect.poll(async () => (await b.api<{ name: string; value: string }[]>('/api/shop/prices/settings')).find((s) => s.name === 'shop')?.value).toBe('Saltmarsh Sparkle; Reed Lane 3');

  await part(b, 'Customers');
  await b.type(b.page.getByRole('textbox', { name: 'Name', exact: true }), 'Saltmarsh Herons');
  await b.type(b.page.getByRole('textbox', { name: 'Address', exact: true }), 'Weir Cottage');
  await b.press(b.button('Add the customer'));
  await b.field('Name of Saltmarsh Herons').waitFor();

  await part(b, 'Stock');
  await b.type(b.field('Number'), '100');
  await b.choose(b.field('Size'), 'SS6');
  await b.type(b.field('Cost of all'), '72');
  await b.type(b.field('Supplier'), 'Reed & Co');
  await b.press(b.button('Book it'));
  await b.page.getByRole('cell', { name: '14,400', exact: true }).first().waitFor();

  await part(b, 'Quotes');
  await b.press(b.page.getByRole('link', { name: 'Make a quote' }));
  await b.choose(b.field('Design'), { label: 'Heron' });
  const sum = async () => Number(((await b.page.locator('.sum').textContent()) ?? '').replace(/[^\d.]/g, ''));
  await expect.poll(sum).toBeGreaterThan(0);
  const one = await sum();
  await b.type(b.field('Pieces'), '12');
  await expect.poll(sum).toBeGreaterThan(one * 5);
  await b.page.getByText('5% less for the number').waitFor();
  await b.choose(b.field('For whom'), { label: 'Saltmarsh Herons' });
  await b.page.reload(); // nothing that was typed is lost
  await expect.poll(() => b.field('Pieces').inputValue()).toBe('12');
  await expect.poll(sum).toBeGreaterThan(one * 5);
  await sound(b, 'making a quote');
  await b.press(b.button('Make this quote'));
  await b.page.getByRole('heading', { name: 'Quote 1', exact: true }).waitFor();
  const total = (await b.api<{ total: string }[]>('/api/shop/quotes'))[0]!.total;
  await b.choose(b.page.getByRole('combobox', { name: 'Language' }), 'de');
  const text = await paper(b, 'Download: The quote');
  expect(text).toContain('Saltmarsh Herons');
  expect(text).toContain('Weir Cottage');
  expect(text).toContain('Angebot');
  expect(text).toContain(Number(total).toFixed(2).replace('.', ','));
  await b.press(b.button('Accepted: make it a job'));
  await b.page.getByText('Accepted: it is').waitFor();
  await sound(b, 'a quote');
  expect(await paper(b, 'Download: The order sheet')).toContain('Auftragsblatt');

  await part(b, 'Jobs');
  await b.press(b.button('Promise: job 1'));
  await b.press(b.page.getByRole('link', { name: 'Job 1', exact: true }));
  await b.type(b.field('How many of line 1 are made'), '5');
  await b.press(b.button('Line 1: so many are made'));
  await b.page.getByText('5 made, 7 to make').waitFor();
  await b.press(b.page.getByText('Something was spoiled'));
  await b.type(b.field('How many'), '9');
  await b.choose(b.field('of'), 'stones');
  await b.choose(b.field('Size'), 'SS6');
  await b.press(b.button('Book it as spoiled'));
  await b.page.getByRole('cell', { name: 'stones of line 1 spoiled' }).waitFor();
  await b.press(b.page.getByText('Change the job'));
  await sound(b, 'a job');
  await b.type(b.field('Due'), '2031-12-24');
  await b.press(b.button('Keep the change'));
  await b.page.getByText('due 24 Dec 2031').waitFor();
  await b.press(b.button('All that is left is made'));
  await b.button('Hand all over').waitFor();
  const { run } = await b.api<{ run: string }>(`/api/designs/${design}/runs`);
  const takes = (await b.api<{ stones: unknown[] }>(`/api/runs/${run}/files/layout.json`)).stones.length;
  await part(b, 'Stock');
  await b.page.getByRole('cell', { name: (14_400 - 12 * takes - 9).toLocaleString('en-GB'), exact: true }).first().waitFor();

  await b.press(b.page.getByText('Count a jar by weight'));
  await b.type(b.field('They weigh, g'), '1.42');
  await b.type(b.field('The jar with the rest, g'), '21.35');
  await b.page.getByText(/1,50[34] stones in the jar, between/).waitFor(); // 21.35 g of 0.0142 g each
  await b.press(b.page.getByText('Check and back up the book'));
  await sound(b, 'stock, all open');
  const copy = (await b.download(() => b.press(b.button('Download a backup')))).data;
  expect(copy.subarray(0, 15).toString()).toBe('SQLite format 3'); // https://sqlite.org/fileformat.html, 1.3

  await part(b, 'Fits');
  await b.choose(b.field('What took every stone and none twice'), '5');
  await b.press(b.button('Keep it'));
  await b.page.getByRole('main').getByText(/^Kept: holes for SS10/).waitFor();
  expect(await paper(b, 'Download: The paper that says what to do')).toContain('SS10');

  await part(b, 'Templates');
  await b.choose(b.field('Design'), { label: 'Heron' });
  await b.type(b.field('Place'), 'drawer 3');
  await b.press(b.button('Add its templates'));
  await b.page.getByText('are in the book').waitFor();
  const code = (await b.api<{ code: string }[]>('/api/shop/templates'))[0]!.code;
  expect(await paper(b, 'Download: 1 label')).toContain(code);
  await b.press(b.page.getByText(`History of ${code}`));
  await b.page.getByText('cut, at drawer 3').waitFor();
  await sound(b, 'a template with its history');

  await part(b, 'Buy list');
  await b.type(b.field('Transfers of Heron'), '900');
  await b.press(b.button('Find what to buy'));
  await b.page.getByText(/as last bought|from Reed & Co/).first().waitFor();
  expect(await paper(b, 'Download the buy list')).toContain('SS6');

  await part(b, 'Prices');
  await b.choose(b.page.getByRole('combobox', { name: 'Design' }), { label: 'Heron' });
  await b.press(b.button('Make prices'));
  await b.press(b.button('Put these on the list'));
  await b.page.getByRole('textbox', { name: 'Price of Heron, garment, from 12' }).waitFor();
  expect(await paper(b, 'Download: The price list')).toContain('Heron');
  await allSound(b, 'filled');
  expect(b.complaints).toEqual([]);
  expect(b.outside).toEqual([]);
}, 240_000);

test('a table is looked at before it is taken in, and nothing is taken in that is wrong', async () => {
  const b = await open();
  await b.page.goto(`${b.program.url}#/shop/customers`);
  await b.page.getByText('Customers as a table').click();
  const bring = b.page.locator('input[type=file]');
  const before = (await b.api<unknown[]>('/api/shop/customers')).length;
  await bring.setInputFiles({ name: 'crew.csv', mimeType: 'text/csv', buffer: Buffer.from('name,email\nWeir Rowers,crew@example.org\n,nobody\n') });
  await b.page.getByText('1 row of 2 in crew.csv cannot be taken in').waitFor();
  await bring.setInputFiles({ name: 'crew.csv', mimeType: 'text/csv', buffer: Buffer.from('name,email\nWeir Rowers,crew@example.org\n') });
  await b.press(b.button('Take it in'));
  await b.page.getByText('1 row of crew.csv are in the book').waitFor();
  expect((await b.api<unknown[]>('/api/shop/customers')).length).toBe(before + 1);
  const rower = (await b.api<{ id: number }[]>('/api/shop/customers?words=Weir+Rowers'))[0]!;
  await b.type(b.field('Phone of Weir Rowers'), '12 34');
  await b.page.keyboard.press('Tab');
  await expect.poll(async () => (await b.api<{ phone?: string }>(`/api/shop/customers/${rower.id}`)).phone).toBe('12 34');
  await b.press(b.button('Erase Weir Rowers'));
  await b.press(b.button('Erase Weir Rowers for good'));
  await expect.poll(async () => (await b.api<unknown[]>('/api/shop/customers')).length).toBe(before);
});
