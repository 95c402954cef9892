// The book of the Saltmarsh Herons, filled: designs on the shelf, stock, jobs, quotes, templates and prices.
import { readFileSync } from 'node:fs';
import type { Design, Job } from '../src/api/types';
import { example, type Bench } from './bench';

/** The designs of the demo book, by what they are called here. */
export interface Demo {
  heron: string;
  heart: string;
  crew: string;
  badge: string;
}

// Two squares and a bar of artwork colours of their own, a stroke beside them that is too thin for a bed.
const badge = `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="84mm" viewBox="0 0 120 84">
<rect id="bar" x="5" y="5" width="110" height="20" fill="#1f4e79"/><path id="left" d="M5 32h50v35h-50z" fill="#c0392b"/><path id="right" d="M65 32h50v35h-50z" fill="#c0392b"/>
<path id="waterline" d="M5 77c18-8 37-8 55 0s37 8 55 0" fill="none" stroke="#2e86ab" stroke-width="4"/></svg>`;

/** Makes the files of a design and waits for them; gives the run. */
async function run(b: Bench, design: string): Promise<string> {
  const { run } = await b.api<{ run: string }>(`/api/designs/${design}/runs`, 'POST', {});
  const events = await b.page.request.get(new URL(`/api/runs/${run}/events`, b.program.url).href);
  const text = await events.text(); // the stream ends with the run
  if (!text.includes('event: done')) throw new Error(`the files of ${design} were not made: ${text.slice(-300)}`);
  return run;
}

async function begun(b: Bench, from: unknown, more: Job = {}): Promise<string> {
  const d = await b.api<Design>('/api/designs', 'POST', from);
  if (Object.keys(more).length) await b.api(`/api/designs/${d.id}/job`, 'PUT', { ...d.job, ...more }, { 'If-Match': String(d.revision) });
  return d.id;
}

async function drawn(b: Bench, name: string, data: string | Buffer, more: Job = {}): Promise<string> {
  const answer = await b.page.request.post(new URL('/api/designs', b.program.url).href, { multipart: { drawing: { name, mimeType: 'image/svg+xml', buffer: Buffer.from(data) } } });
  const d = (await answer.json()) as Design;
  if (Object.keys(more).length) await b.api(`/api/designs/${d.id}/job`, 'PUT', { ...d.job, ...more }, { 'If-Match': String(d.revision) });
  return d.id;
}

/** Fills an empty book. The shop's days are those of the clock: quotes and dues lie around today. */
export async function demo(b: Bench): Promise<Demo> {
  for (const name of ['star', 'oars', 'pennant', 'cup']) await drawn(b, `${name}.svg`, readFileSync(example(`regatta/${name}.svg`)));
  const designs: Demo = {
    badge: await drawn(b, 'regatta badge.svg', badge, { stone: { size: 'SS10', colour: 'crystal' } }),
    crew: await begun(b, { lettering: { text: '{name|Mudlark}', face: 'Archivo ExtraBold', height: '35 mm' } }, { design: 'Crew names' }),
    heart: await begun(b, { sample: 'heart' }),
    heron: await begun(b, { sample: 'heron' }),
  };
  const shop = (path: string, body: unknown, method = 'POST') => b.api<{ id: number; quote: number; code: string }>(`/api/shop/${path}`, method, body);
  const packs = [
    ['SS6', 'crystal', 90, '44.10', 'Reed & Co', ''],
    ['SS10', 'crystal', 60, '33.60', 'Reed & Co', ''],
    ['SS6', 'light sapphire', 30, '18.30', 'Weir Supplies', ''],
    ['SS10', 'light sapphire', 20, '13.80', 'Weir Supplies', ''],
    ['SS10', 'sapphire', 6, '4.40', 'Weir Supplies', ''],
    ['SS10', 'cobalt', 8, '5.90', 'Weir Supplies', ''],
    ['SS6', 'sapphire', 4, '2.60', 'Weir Supplies', ''],
    ['SS16', 'crystal', 2, '2.90', 'Weir Supplies', 'tin box'],
    ['SS10', 'gold', 2, '2.10', 'Weir Supplies', 'tin box'],
  ] as const;
  for (const [size, colour, gross, cost, supplier, place] of packs) await shop('stock/receive', { size, colour, gross, cost, supplier, ...(place ? { place } : {}) });
  await shop('stock/change', { what: 'spoiled', size: 'SS10', colour: 'crystal', pieces: 40, note: 'dropped tray' });
  await shop('suppliers', { name: 'Reed & Co', delivery: '4.90' }, 'PUT');
  for (const [size, colour, labelled, price] of [['SS6', 'crystal', 1440, '5.20'], ['SS10', 'crystal', 1440, '6.10'], ['SS10', 'crystal', 14400, '49.00'], ['SS10', 'light sapphire', 1440, '7.40']] as const) {
    await shop('packs', { supplier: 'Reed & Co', size, colour, labelled, by_weight: false, prices: [{ from: 1, price }] }, 'PUT');
  }
  await shop('prices/settings', { currency: 'GBP', labour: '18', flock: '6.50', tape: '0.80', film: '1.10', target: 'margin 40%', breaks: '12:5%, 50:10%', tax: 'Country 5%, Town 2.25% added', shop: 'Saltmarsh Sparkle; Reed Lane 3; Saltmarsh' }, 'PUT');
  await shop('catalogue/colours', { colour: 'harbour blue', hex: '#27567f', finish: 'clear', sizes: ['SS6', 'SS10', 'SS16'] }, 'PUT');
  await shop('catalogue/colours', { colour: 'reed green', hex: '#5d7a3a', finish: 'opal', sizes: [], retired: true }, 'PUT');
  await shop('catalogue/goods', { class: 'blank', name: 'crew shirt, navy', width: 0, height: 0, cost: '4.20' }, 'PUT');
  const customers: number[] = [];
  for (const [name, email, phone, address, note] of [
    ['Saltmarsh Herons', 'boathouse@herons.example', '01632 960 001', 'Weir Cottage; Mill Lane', 'asks for proofs on paper'],
    ['Weir Rowers', 'crew@weir.example', '', 'The Old Lock', ''],
    ['Regatta committee', '', '01632 960 017', '', 'pays by card'],
  ]) customers.push((await shop('customers', { name, email, phone, address, note })).id);
  const runs = { heron: await run(b, designs.heron), heart: await run(b, designs.heart), badge: await run(b, designs.badge) };
  const day = (ahead: number) => new Date(Date.now() + ahead * 86_400_000).toISOString().slice(0, 10);
  const quotes: number[] = [];
  for (const [run, quantity, use, customer, note] of [
    [runs.heron, 24, 'garment', customers[0], 'for the spring regatta'],
    [runs.heart, 6, 'transfer', customers[1], ''],
    [runs.badge, 12, 'bag', customers[2], 'only if the bags come in time'],
  ] as const) quotes.push((await shop('quotes', { lines: [{ run, quantity, for: use }], customer, note, until: day(30) })).quote);
  await shop(`quotes/${quotes[0]}/accept`, { due: day(12) });
  await shop(`quotes/${quotes[2]}/decline`, {});
  const jobs = [(await shop('jobs', { customer: customers[1], due: day(3), note: 'collects on Friday', lines: [{ run: runs.heart, quantity: 8, destination: 'garment' }, { run: runs.badge, quantity: 2, destination: 'bag' }] })).id, (await shop('jobs', { due: day(20), lines: [{ run: runs.badge, quantity: 5, destination: 'shelf' }] })).id];
  await shop(`jobs/${jobs[0]}/promise`, {});
  await shop('jobs/1/promise', {});
  await shop(`jobs/${jobs[1]}/promise`, {});
  await shop(`jobs/${jobs[1]}/make`, {});
  const codes: string[] = [];
  for (const [run, place, customer, note] of [[runs.heron, 'drawer 3', customers[0], ''], [runs.heart, 'tin box', undefined, 'reorder the flock']] as const) codes.push((await shop('templates', { run, place, ...(customer ? { customer } : {}), ...(note ? { note } : {}) })).code);
  await shop(`templates/${codes[0]}/history`, { what: 'brushed', times: 24 });
  const list = [['Heron badge', 'garment', 1, '14.50'], ['Heron badge', 'garment', 12, '12.90'], ['Regatta heart', 'transfer', 1, '6.00']] as const;
  await b.api('/api/shop/prices', 'PUT', list.map(([design, use, from, price]) => ({ design, for: use, from, price })));
  return designs;
}
