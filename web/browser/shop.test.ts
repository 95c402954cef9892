// The shop's book on the page.
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { shared, type Bench } from './bench';

const { open } = shared();
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

async function part(b: Bench, name: string, head = name): Promise<void> {
  await b.page.getByRole('navigation', { name: 'The shop' }).getByRole('link', { name, exact: true }).click();
  await b.page.getByRole('heading', { name: head, exact: true, level: 1 }).waitFor();
}

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
