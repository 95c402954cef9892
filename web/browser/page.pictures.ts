// Pictures of every page, to be looked at: in both themes, wide and narrow, into out/pictures.
// Nothing is compared; what cannot be shown fails.
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { BrowserContextOptions } from 'playwright-core';
import { afterAll, beforeAll, describe, test } from 'vitest';
import { Bench, launch } from './bench';
import { demo, type Demo } from './demo';
import { Program } from './program';

const out = fileURLToPath(new URL('../../out/pictures', import.meta.url));
const widths = {
  wide: { viewport: { width: 1440, height: 900 } },
  narrow: { viewport: { width: 768, height: 1024 }, hasTouch: true, isMobile: true },
} satisfies Record<string, BrowserContextOptions>;
const themes = ['light', 'dark'] as const;

const program = new Program();
const empty = new Program();
let browser: Awaited<ReturnType<typeof launch>>;
let designs: Demo;

beforeAll(async () => {
  mkdirSync(out, { recursive: true });
  browser = await launch();
  await Promise.all([program.start(), empty.start()]);
  const page = await browser.newPage();
  designs = await demo(new Bench(page, program));
  await page.close();
});
afterAll(async () => {
  await browser?.close();
  await Promise.all([program.end(), empty.end()]);
});

const passes = Object.entries(widths).flatMap(([width, size]) => themes.map((theme) => [width, theme, size] as const));

describe.each(passes)('%s, %s', (width, theme, size) => {
  /** A window on a program, and what puts it on paper. `whole` shows what scrolls, too. */
  async function shown(on: Program, of: (b: Bench, snap: (name: string, whole?: string) => Promise<void>) => Promise<void>, more: BrowserContextOptions = {}): Promise<void> {
    const context = await browser.newContext({ ...size, colorScheme: theme, reducedMotion: 'reduce', acceptDownloads: true, ...more });
    const page = await context.newPage();
    const b = new Bench(page, on);
    const snap = async (name: string, whole?: string) => {
      await page.evaluate(() => document.fonts.ready);
      const usual = size.viewport;
      if (whole) {
        // What scrolls inside the window is given the room it asks for.
        const more = await page.locator(whole).evaluate((el) => el.scrollHeight - el.clientHeight);
        if (more > 0) await page.setViewportSize({ width: usual.width, height: Math.min(5000, Math.ceil(usual.height + (width === 'narrow' && whole === 'aside' ? 2.2 * more : more) + 20)) });
      }
      await page.waitForFunction(() => [...document.images].every((i) => i.hidden || i.complete || i.getBoundingClientRect().top > innerHeight));
      await page.screenshot({ path: `${out}/${width}-${theme}-${name}.png` });
      if (whole) await page.setViewportSize(usual);
    };
    try {
      await of(b, snap);
    } finally {
      await context.close();
    }
  }
  const to = async (b: Bench, path: string) => {
    await b.page.goto(`${b.program.url}#/${path}`);
    await b.page.waitForLoadState('networkidle');
  };

  test('the shelf, full and empty, with a fault, with a drawing held over it', () =>
    shown(program, async (b, snap) => {
      await b.home();
      await b.page.waitForLoadState('networkidle');
      await snap('shelf', 'main');
      await b.page.setInputFiles('input[type=file]', { name: 'letter.svg', mimeType: 'image/svg+xml', buffer: Buffer.from('Dear Herons') });
      await b.page.getByRole('alert').waitFor();
      await snap('shelf-refused');
      await b.page.keyboard.press('?');
      await snap('keys');
      await b.page.keyboard.press('Escape');
      await b.page.goto(`${b.program.url}#/design/nothing/stones`);
      await b.page.getByRole('alert').waitFor();
      await snap('shelf-gone');
      await b.page.goto('about:blank');
      await b.page.goto(empty.url);
      await b.page.getByText('There is none yet').waitFor();
      await snap('shelf-empty');
    }));

  test('the five stations', () =>
    shown(program, async (b, snap) => {
      for (const s of ['drawing', 'stones', 'plates', 'sheets', 'papers']) {
        await to(b, `design/${designs.heron}/${s}`);
        await b.finished();
        await snap(s);
        await snap(`${s}-whole`, 'aside');
      }
      if (!(await b.page.getByRole('link', { name: 'Download everything' }).count())) await b.button('Make the files').click();
      await b.page.getByRole('link', { name: 'Download everything' }).waitFor({ timeout: 60_000 });
      await snap('papers-made', 'aside');
      await b.button('Look for cutters').click();
      await b.page.waitForLoadState('networkidle');
      await snap('papers-cutters', 'aside');
    }));

  test('the stones: a region, a single stone, colours, patterns, findings, advice', () =>
    shown(program, async (b, snap) => {
      await to(b, `design/${designs.badge}/stones`);
      await b.finished();
      await b.page.getByRole('button', { name: /^waterline/ }).click();
      await snap('stroke-picked', 'aside');
      await b.page.getByRole('button', { name: /^bar/ }).click();
      await b.mat.focus();
      await b.page.keyboard.press('ArrowRight');
      await b.button('Take out').waitFor();
      await snap('stone-picked', 'aside');
      await b.page.keyboard.press('Enter');
      for (let i = 0; i < 3; i++) await b.page.keyboard.press('Shift+ArrowDown');
      await snap('stone-held');
      await b.page.keyboard.press('Escape');
      await b.button('Paint').click();
      await b.page.getByRole('button', { name: /^Colour/ }).first().click();
      await b.page.getByText('Patterns and mixed sizes').click();
      await snap('stones-all-open', 'aside');
      await b.page.locator('.findings').click();
      await snap('findings-none');
    }));

  test('findings, one of them broken, with a mend', () =>
    shown(program, async (b, snap) => {
      await b.begin({ file: 'badge.svg', data: '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="60mm" viewBox="0 0 120 60"><rect id="bar" x="5" y="5" width="110" height="20"/><path id="hair" d="M5 45h110" stroke="#000" stroke-width="1.6"/></svg>' }, 'stones', {
        gap: '0.3 mm',
        hand: [{ remove: { region: 'gone', at: [0.5, 0.5] } }, { add: { region: 'bar', at: [0.9, 0.2] } }] as never,
      });
      await b.finished();
      await b.page.locator('.findings').click();
      await snap('findings');
      await b.page.keyboard.press('f');
      await snap('finding-flown');
      await b.page.request.delete(new URL(`/api/designs/${b.id}`, b.program.url).href);
    }));

  test('the making, step by step', () =>
    shown(
      program,
      async (b, snap) => {
        await to(b, `design/${designs.heron}/plates`);
        await b.finished();
        const all = await b.page.locator('.steps li').count();
        for (let i = 1; i <= all; i++) {
          await b.button('Next').click();
          await b.page.waitForTimeout(700);
          await snap(`making-${String(i).padStart(2, '0')}-midway`);
          await b.page.waitForTimeout(2200);
          await snap(`making-${String(i).padStart(2, '0')}`);
        }
      },
      { reducedMotion: 'no-preference' },
    ));

  test('sheets: a plate that is picked, one that is held where it may not lie; a roll', () =>
    shown(program, async (b, snap) => {
      await to(b, `design/${designs.heart}/sheets`);
      await b.finished();
      await b.mat.focus();
      await b.page.keyboard.press('Enter');
      await snap('sheets-picked');
      const { sheets } = await b.layout();
      const one = sheets[0]!.placed[0]!;
      const [a, c] = [await b.at(one.x + 20, one.y + 20), await b.at(sheets[0]!.width - 5, one.y + 60)];
      await b.page.mouse.move(a.x, a.y);
      await b.page.mouse.down();
      await b.page.mouse.move(c.x, c.y, { steps: 6 });
      await snap('sheets-held');
      await b.page.keyboard.press('Escape');
      await b.page.mouse.up();
    }));

  test('lettering, a list of names', () =>
    shown(program, async (b, snap) => {
      await to(b, `design/${designs.crew}/drawing`);
      await b.finished();
      await snap('lettering', 'aside');
      await to(b, `design/${designs.crew}/list`);
      await snap('list-empty', 'main');
      const list = (text: string) => ({ name: 'crew.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
      await b.page.setInputFiles('input[type=file]', list('name,quantity,boat\nSplash,2,four\nMudlark,many,eight\n,1,pair\nCurlew,1,eight\n'));
      await b.page.getByText(/rows? with a fault/).waitFor();
      await snap('list-faults', 'main');
      await b.page.setInputFiles('input[type=file]', list('name,quantity\nSplash,2\nMudlark,1\nCurlew,1\nSandpiper,1\n'));
      await b.page.getByRole('heading', { name: /^3\. 4 rows/ }).waitFor();
      await b.button('Make the transfers').click();
      await b.button('Stop').waitFor();
      await snap('list-making', 'main');
      await b.page.getByRole('link', { name: 'Download everything' }).waitFor({ timeout: 60_000 });
      await snap('list-made', 'main');
    }));

  test('waiting, refused, the program away', () =>
    shown(program, async (b, snap) => {
      const field = '<svg xmlns="http://www.w3.org/2000/svg" width="390mm" height="390mm" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>';
      await b.begin({ file: 'field.svg', data: field }, 'papers', { stone: { size: 'SS6', colour: 'crystal' }, sheet: { width: '40 in', height: '40 in' } });
      await b.button('Make the files').click();
      await b.page.getByRole('progressbar').waitFor();
      await snap('papers-making');
      await b.button('Stop').click();
      await b.button('Make the files').waitFor();
      await b.page.request.delete(new URL(`/api/designs/${b.id}`, b.program.url).href);
      await b.begin({ file: 'star.svg' }, 'drawing');
      await b.field('Finished width').fill('very wide');
      await b.page.keyboard.press('Enter');
      await snap('drawing-wrong-length');
      await b.field('Finished width').fill('40 in');
      await b.page.keyboard.press('Enter');
      await b.page.getByRole('alert').waitFor();
      await snap('drawing-refused');
      await b.page.context().setOffline(true);
      await b.field('Name of the design').fill('Star of the weir');
      await b.page.keyboard.press('Enter');
      await b.page.getByText('does not answer').waitFor();
      await snap('away');
      await b.page.context().setOffline(false);
      await b.page.request.delete(new URL(`/api/designs/${b.id}`, b.program.url).href);
    }));

  test('the shop', () =>
    shown(program, async (b, snap) => {
      for (const part of ['jobs', 'quotes', 'stock', 'buy', 'customers', 'templates', 'catalogue', 'fits', 'prices']) {
        await to(b, `shop/${part}`);
        await snap(`shop-${part}`, 'main');
      }
      await to(b, 'shop/jobs/2');
      await snap('shop-job', 'main');
      await to(b, 'shop/quotes/1');
      await snap('shop-quote', 'main');
      await to(b, 'shop/quotes/new');
      await b.field('Design').selectOption(`design ${designs.heron}`);
      await b.field('Pieces').fill('12');
      await b.page.locator('.sum').waitFor({ timeout: 60_000 });
      await b.page.locator('.price[aria-busy=false]').waitFor();
      await snap('shop-quote-making', 'main');
      await to(b, 'shop/buy');
      await b.button('Find what to buy').click();
      await b.page.waitForLoadState('networkidle');
      await snap('shop-buy-found', 'main');
      await to(b, 'shop/templates');
      await b.field('what can be brushed today').check();
      await b.page.waitForLoadState('networkidle');
      await snap('shop-templates-today', 'main');
      await to(b, 'shop/customers');
      await b.button('Erase Weir Rowers').click();
      await snap('shop-erase', 'main');
      await to(b, 'shop/prices');
      for (const s of await b.page.locator('summary').all()) await s.click();
      await snap('shop-prices-open', 'main');
      await to(b, 'shop/stock');
      await b.page.getByText(/as a table/).click();
      await b.page.locator('input[type=file]').setInputFiles({ name: 'stock.csv', mimeType: 'text/csv', buffer: Buffer.from('size,colour,pieces\nSS10,no such colour,12\nSS10,crystal,many\nSS6,crystal,144\n') });
      await b.page.getByText(/cannot be taken in/).waitFor();
      await snap('shop-table-wrong', 'main');
    }));

  test('the shop while it is empty', () =>
    shown(empty, async (b, snap) => {
      for (const part of ['jobs', 'quotes', 'quotes/new', 'stock', 'buy', 'customers', 'templates', 'catalogue', 'fits', 'prices']) {
        await to(b, `shop/${part}`);
        await snap(`empty-${part.replace('/', '-')}`, 'main');
      }
    }));
});
