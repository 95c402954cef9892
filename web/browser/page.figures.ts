// Figures of the page, printed as a table. None of them fails a run: they depend on the machine.
import { readdirSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { launch } from './bench';
import { Program } from './program';

const rows: [string, string, string][] = [];

/** A square of SS6 in a honeycomb with about n stones: Oler's bound is near N = 2A/(√3·p²), p = 2.9 mm. */
function square(n: number): string {
  const side = Math.sqrt((n * Math.sqrt(3) * 2.9 * 2.9) / 2) + 1;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${side}mm" height="${side}mm" viewBox="0 0 100 100"><rect id="field" width="100" height="100"/></svg>`;
}

async function opened(browser: Browser, program: Program, n: number): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1366, height: 800 } });
  await page.goto(program.url);
  const made = await page.request.post(new URL('/api/designs', program.url).href, { multipart: { drawing: { name: 'field.svg', mimeType: 'image/svg+xml', buffer: Buffer.from(square(n)) } } });
  const { id, job, revision } = (await made.json()) as { id: string; job: Record<string, unknown>; revision: number };
  const side = Math.sqrt((n * Math.sqrt(3) * 2.9 * 2.9) / 2) + 1;
  await page.request.put(new URL(`/api/designs/${id}/job`, program.url).href, { headers: { 'If-Match': String(revision) }, data: { ...job, width: `${side.toFixed(1)} mm`, stone: { size: 'SS6', colour: 'crystal ab' }, treatment: ['rim', 'bed'], sheet: { width: '40 in', height: '40 in' } } });
  await page.goto(`${program.url}#/design/${id}/stones`);
  await page.locator('.tally .findings').waitFor({ timeout: 120_000 });
  await expect.poll(async () => ((await page.locator('.tally .findings').textContent()) ?? '') + (await page.locator('.bar.busy').count()), { timeout: 120_000 }).toMatch(/^(?!.*quick look).*0$/s);
  return page;
}

/** From a moved slider to the frame that shows its stones: the median of several, ms. */
async function change(page: Page): Promise<number> {
  return page.evaluate(async () => {
    const scene = (window as unknown as { scene: { tally: { shots: number } } }).scene;
    const slider = [...document.querySelectorAll<HTMLInputElement>('input[type=range]')][0]!;
    const times: number[] = [];
    for (let i = 0; i < 15; i++) {
      const before = scene.tally.shots;
      const start = performance.now();
      slider.value = String(0.8 + 0.05 * (i % 3) + 0.05);
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      while (scene.tally.shots === before) await new Promise(requestAnimationFrame);
      times.push(performance.now() - start);
      await new Promise((r) => setTimeout(r, 120));
    }
    return times.sort((a, b) => a - b)[7]!;
  });
}

/** Frames a second while the view is dragged or zoomed for two seconds. */
async function frames(page: Page, way: 'pan' | 'zoom'): Promise<number> {
  return page.evaluate(async (way) => {
    const canvas = document.querySelector<HTMLCanvasElement>('.stage canvas')!;
    const box = canvas.getBoundingClientRect();
    const x = box.left + box.width / 2;
    const y = box.top + box.height / 2;
    // A pointer made by a script cannot be captured.
    canvas.setPointerCapture = () => {};
    const send = (type: string, dx: number, dy: number) => canvas.dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX: x + dx, clientY: y + dy, bubbles: true, button: 0 }));
    for (let i = 0; i < 3; i++) canvas.dispatchEvent(new WheelEvent('wheel', { deltaY: -300, clientX: x, clientY: y, cancelable: true }));
    await new Promise((r) => setTimeout(r, 800));
    let n = 0;
    const start = performance.now();
    if (way === 'pan') send('pointerdown', 0, 0);
    while (performance.now() - start < 2000) {
      const t = (performance.now() - start) / 2000;
      if (way === 'pan') send('pointermove', 300 * Math.sin(t * 9), 200 * Math.cos(t * 7));
      else canvas.dispatchEvent(new WheelEvent('wheel', { deltaY: 60 * Math.sin(t * 12), clientX: x, clientY: y, cancelable: true }));
      await new Promise(requestAnimationFrame);
      n++;
    }
    const seconds = (performance.now() - start) / 1000;
    if (way === 'pan') send('pointerup', 0, 0);
    return n / seconds;
  }, way);
}

test('weight of the page', () => {
  const dist = fileURLToPath(new URL('../../internal/web/dist', import.meta.url));
  const files = readdirSync(dist, { recursive: true, encoding: 'utf8' }).filter((n) => !n.startsWith('plain') && statSync(join(dist, n)).isFile());
  const sent = files.filter((n) => !/\.(gz|br)$/.test(n)).map((n) => statSync(join(dist, files.includes(n + '.br') ? n + '.br' : n)).size);
  rows.push(['page weight, all files, packed', `${(sent.reduce((a, b) => a + b, 0) / 1024).toFixed(0)} KB`, '≤ 250 KB']);
});

test('first paint from a cold start', async () => {
  const browser = await launch();
  const page = await browser.newPage();
  const program = new Program();
  const start = Date.now();
  await program.start();
  await page.goto(program.url);
  const paint = await page.evaluate(() => performance.timeOrigin + (performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? performance.now()));
  rows.push(['first paint from a cold start of the program', `${(paint - start).toFixed(0)} ms`, '≤ 1000 ms']);
  await browser.close();
  await program.end();
});

test('stones on the mat', async () => {
  const browser = await launch();
  const program = new Program();
  await program.start();
  for (const [n, least] of [
    [5000, 40],
    [20000, 20],
  ] as const) {
    const page = await opened(browser, program, n);
    const stones = (await page.getByRole('link', { name: /^Stones/ }).locator('.holds').textContent()) ?? '';
    if (n === 5000) rows.push([`a changed gap on the screen, ${stones}, median`, `${(await change(page)).toFixed(0)} ms`, '≤ 150 ms']);
    rows.push([`pan, ${stones}`, `${(await frames(page, 'pan')).toFixed(0)} frames/s`, `≥ ${least}`]);
    rows.push([`zoom, ${stones}`, `${(await frames(page, 'zoom')).toFixed(0)} frames/s`, `≥ ${least}`]);
    await page.close();
  }
  await browser.close();
  await program.end();
  const wide = Math.max(...rows.map((r) => r[0].length));
  process.stdout.write('\n' + rows.map(([what, is, aim]) => `${what.padEnd(wide)}  ${is.padStart(14)}  ${aim}`).join('\n') + '\n');
});
