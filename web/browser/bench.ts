import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { chromium, type Browser, type BrowserContext, type BrowserContextOptions, type Download, type Locator, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect } from 'vitest';
import type { Design, Job, Layout } from '../src/api/types';
import { Program } from './program';

const flags = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];

export function launch(): Promise<Browser> {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: flags });
}

/** The path of an example that comes with the program. */
export function example(name: string): string {
  return fileURLToPath(new URL(`../../examples/${name}`, import.meta.url));
}

type Station = 'Drawing' | 'Stones' | 'Plates' | 'Sheets' | 'Papers';

/** Bench is a window on the page. Its hands count what they do: each press, text or file is an action. */
export class Bench {
  actions = 0;
  /** What the page complained of: nothing, in every scenario. */
  readonly complaints: string[] = [];
  /** Requests that left for elsewhere. */
  readonly outside: string[] = [];

  constructor(
    readonly page: Page,
    readonly program: Program,
  ) {
    page.setDefaultTimeout(30_000);
    page.on('pageerror', (err) => this.complaints.push(String(err)));
    page.on('console', (m) => {
      if (m.type() === 'error' && !/Failed to load resource/.test(m.text())) this.complaints.push(m.text());
    });
    page.on('request', (r) => {
      if (!r.url().startsWith(new URL(program.url).origin) && !r.url().startsWith('blob:')) this.outside.push(r.url());
    });
  }

  button(name: string | RegExp): Locator {
    return this.page.getByRole('button', { name, exact: true });
  }

  field(name: string | RegExp): Locator {
    const roles = ['textbox', 'combobox', 'slider', 'checkbox', 'spinbutton'] as const;
    return roles.map((role) => this.page.getByRole(role, { name, exact: true })).reduce((a, b) => a.or(b));
  }

  get path(): Locator {
    return this.page.getByRole('navigation', { name: 'The path of the job' });
  }

  get side(): Locator {
    return this.page.getByRole('complementary');
  }

  get mat(): Locator {
    return this.page.locator('.stage canvas');
  }

  async press(what: Locator): Promise<void> {
    this.actions++;
    await what.click();
  }

  async type(into: Locator, text: string): Promise<void> {
    this.actions++;
    await into.fill(text);
  }

  async choose(from: Locator, value: string | { label: string }): Promise<void> {
    this.actions++;
    await from.selectOption(value);
  }

  async home(): Promise<void> {
    await this.page.goto(this.program.url);
    await this.page.getByRole('heading', { name: 'Drop a drawing here' }).waitFor();
  }

  /** Opens a sample and waits for its stones. */
  async sample(name = 'Heron badge'): Promise<void> {
    await this.home();
    await this.press(this.button(name));
    await this.laid();
  }

  /** Begins a design behind the page's back and opens it at a station, its stones laid. */
  async begin(from: { sample: string } | { lettering: unknown } | { file: string; data?: string }, station = 'stones', more: Job = {}): Promise<void> {
    const at = new URL('/api/designs', this.program.url).href;
    const answer = 'file' in from ? await this.page.request.post(at, { multipart: { drawing: { name: from.file, mimeType: 'image/svg+xml', buffer: Buffer.from(from.data ?? readFileSync(example(`regatta/${from.file}`))) } } }) : await this.page.request.post(at, { data: from });
    if (!answer.ok()) throw new Error(await answer.text());
    const d = (await answer.json()) as Design;
    if (Object.keys(more).length) await this.api(`/api/designs/${d.id}/job`, 'PUT', { ...d.job, ...more }, { 'If-Match': String(d.revision) });
    await this.page.goto(`${this.program.url}#/design/${d.id}/${station}`);
    await this.laid();
  }

  async station(name: Station): Promise<void> {
    await this.press(this.path.getByRole('link', { name: new RegExp(`^${name}`) }));
    await this.page.getByRole('complementary', { name }).waitFor();
  }

  /** Waits until the layout on the mat is that of the job, at least a quick look, and everything is saved. */
  async laid(): Promise<void> {
    await this.page.locator('.tally .findings').waitFor();
    await this.saved();
    await this.page.locator('.bar:not(.busy)').waitFor({ timeout: 45_000 });
  }

  /** Waits until the layout on the mat is the finished one, as it will be cut. */
  async finished(): Promise<void> {
    await this.laid();
    const findings = this.page.locator('.tally .findings');
    await expect.poll(async () => (await this.page.locator('.bar.busy').count()) + ((await findings.textContent()) ?? ''), { timeout: 45_000 }).toMatch(/^0(?!.*quick look)/s);
  }

  async saved(): Promise<void> {
    await expect.poll(() => this.page.locator('.state').textContent(), { timeout: 45_000 }).toBe('Saved');
  }

  /** The number of stones as the path says it. */
  async stones(): Promise<number> {
    const text = await this.path.getByRole('link', { name: /^Stones/ }).locator('.holds').textContent();
    return Number((text ?? '').replace(/\D/g, ''));
  }

  get id(): string {
    return /design\/([^/?]+)/.exec(this.page.url())![1]!;
  }

  /** What the program holds under an address. */
  async api<T>(path: string, method = 'GET', data?: unknown, headers: Record<string, string> = {}): Promise<T> {
    const answer = await this.page.request.fetch(new URL(path, this.program.url).href, { method, data, headers });
    if (!answer.ok()) throw new Error(`${path}: ${answer.status()} ${await answer.text()}`);
    return (await answer.json()) as T;
  }

  design(): Promise<Design> {
    return this.api<Design>(`/api/designs/${this.id}`);
  }

  async job(): Promise<Job> {
    return (await this.design()).job;
  }

  layout(): Promise<Layout> {
    return this.api<Layout>(`/api/designs/${this.id}/layout`, 'POST', { effort: 'live' });
  }

  async download(press: () => Promise<void>): Promise<{ name: string; data: Buffer; path: string }> {
    const [file] = await Promise.all([this.page.waitForEvent('download'), press()]);
    return { name: file.suggestedFilename(), ...(await kept(file)) };
  }

  /** Where a point of the design, in mm, is on the screen. */
  async at(x: number, y: number): Promise<{ x: number; y: number }> {
    const box = (await this.mat.boundingBox())!;
    const c = await this.page.evaluate(() => (window as unknown as { scene: { camera: { x: number; y: number; scale: number } } }).scene.camera);
    return { x: box.x + (x - c.x) * c.scale, y: box.y + (y - c.y) * c.scale };
  }

  /** Where a stone of the design is, in mm. */
  async stone(i: number): Promise<{ x: number; y: number; colour: string }> {
    const l = await this.layout();
    return { x: l.stones.x[i]!, y: l.stones.y[i]!, colour: l.kinds[l.stones.kind[i]!]!.colour };
  }

  async drag(from: { x: number; y: number }, to: { x: number; y: number }, stops = 8): Promise<void> {
    this.actions++;
    const a = await this.at(from.x, from.y);
    const c = await this.at(to.x, to.y);
    await this.page.mouse.move(a.x, a.y);
    await this.page.mouse.down();
    await this.page.mouse.move(c.x, c.y, { steps: stops });
    await this.page.mouse.up();
  }

  async tapAt(x: number, y: number): Promise<void> {
    this.actions++;
    const p = await this.at(x, y);
    await this.page.mouse.click(p.x, p.y);
  }
}

async function kept(file: Download): Promise<{ data: Buffer; path: string }> {
  const path = await file.path();
  return { data: readFileSync(path), path };
}

interface Shared {
  open: (options?: BrowserContextOptions) => Promise<Bench>;
  program: () => Program;
  browser: () => Browser;
}

const usual: BrowserContextOptions = { viewport: { width: 1366, height: 800 }, acceptDownloads: true, reducedMotion: 'reduce' };

/** The window of the scenario before, as if it were just opened: a new document, nothing stored, no other window beside it. */
async function anew(b: Bench): Promise<Bench> {
  const context = b.page.context();
  for (const page of context.pages()) if (page !== b.page) await page.close();
  for (const event of ['pageerror', 'console', 'request'] as const) b.page.removeAllListeners(event);
  await b.page.goto('about:blank');
  const cdp = await context.newCDPSession(b.page);
  await cdp.send('Storage.clearDataForOrigin', { origin: new URL(b.program.url).origin, storageTypes: 'local_storage' });
  await cdp.detach();
  await b.page.setViewportSize(usual.viewport!);
  await b.page.mouse.move(0, 0);
  return new Bench(b.page, b.program);
}

/**
 * One program and one browser for the scenarios of a file. A scenario that asks for nothing special is given the
 * window of the one before, anew: a process and a context of its own for each took a third of the time.
 */
export function shared(): Shared {
  let program: Program;
  let browser: Browser;
  const contexts: BrowserContext[] = [];
  let window: Bench | null = null;
  beforeAll(async () => {
    program = new Program();
    await program.start();
    browser = await launch();
  });
  afterAll(async () => {
    await browser?.close();
    await program?.end();
  });
  return {
    program: () => program,
    browser: () => browser,
    open: async (options) => {
      for (const old of contexts.splice(0)) await old.close();
      if (!options && window) return (window = await anew(window));
      const context = await browser.newContext({ ...usual, ...options });
      const b = new Bench(await context.newPage(), program);
      if (options) contexts.push(context);
      else window = b;
      return b;
    },
  };
}
