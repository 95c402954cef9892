import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect } from 'vitest';
import type { Bench } from './bench';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

type Theme = 'light' | 'dark';
type Found = { violations: { id: string; nodes: { target: string[] }[] }[] };
type Checker = { axe?: { run: (options?: object) => Promise<Found> } };

/** The rules that look at colours; all others find the same in either theme, as both have the same elements. */
const byColour = ['color-contrast', 'link-in-text-block'];

/** The checker is put in by the test; the page's own policy would not let it run: open the bench with this. */
export const checked = { bypassCSP: true };

/** What axe-core finds broken of WCAG 2.2 A and AA and of its best practices: by all of its rules, or by some. */
async function broken(b: Bench, rules?: string[]): Promise<string[]> {
  if (!(await b.page.evaluate(() => !!(window as unknown as Checker).axe))) await b.page.evaluate(axe);
  return b.page.evaluate(async (rules) => {
    const found = await (window as unknown as Checker).axe!.run(rules ? { runOnly: { type: 'rule', values: rules } } : {});
    return found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`);
  }, rules);
}

/** No rule of accessibility is broken by the page as it is, in either theme; it keeps the one it has. */
export async function sound(b: Bench, what: string): Promise<void> {
  const theme = await b.page.evaluate(() => document.documentElement.dataset.theme as Theme);
  const other = theme === 'dark' ? 'light' : 'dark';
  expect(await broken(b), `${what}, ${theme}`).toEqual([]);
  await b.page.evaluate((t) => (document.documentElement.dataset.theme = t), other);
  expect(await broken(b, byColour), `${what}, ${other}`).toEqual([]);
  await b.page.evaluate((t) => (document.documentElement.dataset.theme = t), theme);
}
