// Figures of the page, printed as a table. None of them fails a run: they depend on the machine.
import { readdirSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { test } from 'vitest';
import { Bench, launch } from './bench';
import { Program } from './program';

/** A line of the table; each is printed as soon as it is known. */
function row(what: string, is: string, aim: string): void {
  process.stdout.write(`${what.padEnd(56)}${is.padStart(14)}  ${aim}\n`);
}

const whole = (v: number) => v.toLocaleString('en-GB', { maximumFractionDigits: 0 });

/** A square of SS6 in a honeycomb with about n stones: Oler's bound is near N = 2A/(√3·p²), p = 2.9 mm. */
function square(n: number): string {
  const side = Math.sqrt((n * Math.sqrt(3) * 2.9 * 2.9) / 2) + 1;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${side}mm" height="${side}mm" viewBox="0 0 100 100"><rect id="field" width="100" height="100"/></svg>`;
}

async function opened(browser: Browser, program: Program, n: number): Promise<Bench> {
  const page = await browser.newPage({ viewport: { width: 1366, height: 800 } });
  const b = new Bench(page, program);
  const side = Math.sqrt((n * Math.sqrt(3) * 2.9 * 2.9) / 2) + 1;
  await b.begin({ file: 'field.svg', data: square(n) }, 'stones', { width: `${side.toFixed(1)} mm`, stone: { size: 'SS6', colour: 'crystal ab' }, treatment: ['rim', 'bed'], sheet: { width: '40 in', height: '40 in' } });
  await b.finished();
  return b;
}

/** From a moved slider to the frame that shows its stones: the median of several, ms. */
async function change(page: Page): Promise<number> {
  return page.evaluate(async () => {
    const scene = (window as unknown as { scene: { tally: { shots: number } } }).scene;
    const slider = [...document.querySelectorAll<HTMLInputElement>('input[type=range]')][0]!;
    const times: number[] = [];
    const stones = document.querySelector('nav a[href$="/stones"] .holds')!;
    for (let i = 0; i < 15; i++) {
      const before = scene.tally.shots;
      const count = stones.textContent;
      const start = performance.now();
      slider.value = String(0.8 + 0.05 * (i % 3) + 0.05);
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      while (scene.tally.shots === before || stones.textContent === count) await new Promise(requestAnimationFrame);
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
  row('page weight, all files, packed', `${whole(sent.reduce((a, b) => a + b, 0) / 1024)} KB`, '≤ 250 KB');
});

/** Runs with a browser and a program, and ends both whatever happens. */
async function measured(of: (browser: Browser, program: Program) => Promise<void>): Promise<void> {
  const browser = await launch();
  const program = new Program();
  try {
    await of(browser, program);
  } finally {
    await browser.close();
    await program.end();
  }
}

test('first paint from a cold start', () =>
  measured(async (browser, program) => {
    const page = await browser.newPage();
    const start = Date.now();
    await program.start();
    await page.goto(program.url);
    const paint = await page.evaluate(
      () =>
        new Promise<number>((resolve) => {
          const watch = new PerformanceObserver((list) => {
            for (const e of list.getEntriesByName('first-contentful-paint')) resolve(performance.timeOrigin + e.startTime);
          });
          watch.observe({ type: 'paint', buffered: true });
        }),
    );
    row('first paint from a cold start of the program', `${whole(paint - start)} ms`, '≤ 1,000 ms');
  }));

test('stones on the mat', () =>
  measured(async (browser, program) => {
    await program.start();
    for (const [n, least] of [
      [5000, 40],
      [20000, 20],
    ] as const) {
      const b = await opened(browser, program, n);
      const stones = `${whole(await b.stones())} stones`;
      if (n === 5000) row(`a changed gap on the screen, ${stones}, median`, `${whole(await change(b.page))} ms`, '≤ 150 ms');
      await b.finished();
      row(`pan, ${stones}`, `${whole(await frames(b.page, 'pan'))} frames/s`, `≥ ${least}`);
      row(`zoom, ${stones}`, `${whole(await frames(b.page, 'zoom'))} frames/s`, `≥ ${least}`);
      await b.page.close();
    }
  }));
