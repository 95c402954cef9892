// The cheat sheet, line by line.
import { expect, test } from 'vitest';
import type { HandEdit } from '../src/api/types';
import { shared, type Bench } from './bench';

const { open } = shared();

const bar = '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="24mm" viewBox="0 0 60 24"><rect id="bar" width="60" height="24" fill="#1f4e79"/></svg>';
const dot = { name: 'dot.svg', mimeType: 'image/svg+xml', buffer: Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="8mm" viewBox="0 0 12 8"><rect id="dot" width="12" height="8" fill="#c0392b"/></svg>') };

interface Camera {
  x: number;
  y: number;
  scale: number;
}

/** The lines of the sheet as it stands on the page, and those that were tried. */
class Sheet {
  readonly tried: string[] = [];
  constructor(readonly b: Bench) {}

  async line(text: string, of: () => Promise<void>): Promise<void> {
    await of();
    this.tried.push(text);
  }

  async all(): Promise<string[]> {
    return this.b.page.locator('dialog section').evaluateAll((parts) => parts.flatMap((p) => [...p.querySelectorAll('dd')].map((dd) => `${p.querySelector('h2')!.textContent}: ${dd.textContent}`)));
  }
}

const arrows = ['ArrowLeft', 'ArrowUp', 'ArrowRight', 'ArrowDown'];
const camera = (b: Bench) => b.page.evaluate(() => ({ ...(window as unknown as { scene: { camera: Camera } }).scene.camera }));
const hand = async (b: Bench) => ((await b.job()).hand ?? []) as HandEdit[];
const last = async (b: Bench) => Object.keys((await hand(b)).at(-1) ?? {})[0];

async function mat({ b, line }: Steps): Promise<void> {
  await b.mat.focus();
  await line('On the mat: zoom', async () => {
    const { scale } = await camera(b);
    await b.page.keyboard.press('+');
    expect((await camera(b)).scale).toBeGreaterThan(scale);
    await b.page.keyboard.press('-');
    expect((await camera(b)).scale).toBeCloseTo(scale, 6);
  });
  const whole = await camera(b);
  await line('On the mat: move the view', async () => {
    for (const a of arrows) {
      const { x, y } = await camera(b);
      await b.page.keyboard.press(a);
      expect(await camera(b)).not.toMatchObject({ x, y });
    }
    await b.page.keyboard.press('ArrowRight');
  });
  await line('On the mat: show everything', async () => {
    await b.page.keyboard.press('0');
    const { x, y, scale } = await camera(b);
    expect([x - whole.x, y - whole.y, scale - whole.scale].every((d) => Math.abs(d) < 1e-9)).toBe(true);
  });
}

interface Steps {
  b: Bench;
  line: Sheet['line'];
}

async function drawings({ b, line }: Steps): Promise<void> {
  const at = async () => JSON.stringify((await b.job()).drawings);
  const pick = b.button('Pick');
  await pick.click();
  await b.mat.focus();
  await line('Several drawings: move the picked one by 1 mm, with Shift 10 mm', async () => {
    for (const key of ['ArrowRight', 'Shift+ArrowLeft']) {
      const before = await at();
      await b.page.keyboard.press(key);
      await expect.poll(at).not.toBe(before);
    }
  });
  await line('Several drawings: let go', async () => {
    await b.page.keyboard.press('Escape');
    await expect.poll(() => pick.getAttribute('aria-pressed')).toBe('false');
  });
}

async function stones({ b, line }: Steps): Promise<void> {
  const press = (key: string) => b.page.keyboard.press(key);
  await line('Stones by hand: pick and move, add, paint', async () => {
    for (const [key, name] of [['a', 'Add'], ['p', 'Paint'], ['v', 'Pick and move']] as const) {
      await press(key);
      await expect.poll(() => b.button(name).getAttribute('aria-pressed')).toBe('true');
    }
  });
  await b.page.getByRole('button', { name: /^bar/ }).click();
  await b.mat.focus();
  const here = b.side.getByText(/^SS\d+ .* of bar$/);
  await line('Stones by hand: from stone to stone', async () => {
    await press('ArrowRight');
    await here.waitFor();
    for (const a of ['ArrowDown', 'ArrowRight']) await press(a);
  });
  await line('Stones by hand: leave it as it was; let go', async () => {
    await press('Enter');
    await press('Escape'); // leaves it, and it is still picked
    await here.waitFor();
    await press('Escape'); // lets it go
    await here.waitFor({ state: 'hidden' });
    await press('ArrowRight');
    await here.waitFor();
  });
  await line('Stones by hand: take the stone up; put it down', async () => {
    await press('Enter');
    for (const way of ['Right', 'Down']) for (let i = 0; i < 7; i++) await press(`Shift+Arrow${way}`);
    await press('Enter');
    await expect.poll(() => last(b)).toBe('move');
    await b.laid();
  });
  await line('Stones by hand: a stone in the air: 0.1 mm, with Shift 1 mm', async () => {
    // It is held at the nearest place that may be, which the page says.
    const held = async () => (await b.page.locator('.app > .unseen').textContent()) ?? '';
    await press('Enter');
    for (const [key, times] of [['Shift+ArrowRight', 3], ['ArrowLeft', 30]] as const) {
      const before = await held();
      for (let i = 0; i < times; i++) await press(key);
      await expect.poll(held).not.toBe(before);
      expect(await held()).toMatch(/^at [\d.]+ (mm|in)/);
    }
    await press('Escape');
  });
  for (const [text, key, deed, colour] of [
    ['give it the chosen colour', 'c', 'recolour', 'jet'],
    ['give its whole row the chosen colour', 'r', 'recolour', 'siam'],
    ['take the stone out', 'Delete', 'remove', ''],
  ] as const) {
    await line(`Stones by hand: ${text}`, async () => {
      const all = async () => JSON.stringify(await hand(b));
      const before = await all();
      if (colour) {
        const field = b.page.getByRole('button', { name: /^Colour to give/ });
        if ((await field.getAttribute('aria-expanded')) === 'false') await field.click();
        await b.page.getByRole('group', { name: /^Colour to give/ }).getByRole('button', { name: colour, exact: true }).click();
      }
      await b.mat.focus();
      await press(key);
      await expect.poll(all).not.toBe(before);
      expect((await hand(b)).some((e) => deed in e)).toBe(true);
      await b.laid();
    });
  }
}

async function plates({ b, line }: Steps): Promise<void> {
  const now = b.page.locator('.steps [aria-current=step]');
  await line('Making, step by step: next step, one step back', async () => {
    await b.page.keyboard.press('n');
    await b.page.keyboard.press('n');
    await expect.poll(() => now.textContent()).toMatch(/^2/);
    await b.page.keyboard.press('b');
    await expect.poll(() => now.textContent()).toMatch(/^1/);
  });
  await line('Making, step by step: play or hold', async () => {
    await b.page.keyboard.press(' ');
    await b.button('Hold').waitFor();
    await b.page.keyboard.press(' ');
    await b.button('Play').waitFor();
    // A button that has the focus keeps Space to itself.
    await b.page.getByRole('button', { name: /^Plate 1/ }).press(' ');
    await now.waitFor({ state: 'hidden' });
    expect(await b.button('Play').count()).toBe(1);
  });
}

async function sheets({ b, line }: Steps): Promise<void> {
  const placed = async () => JSON.stringify((await b.layout()).sheets[0]!.placed);
  const turn = b.button('Turn the picked plate');
  await b.mat.focus();
  await line('Plates on sheets: pick a plate, the next one', async () => {
    await b.page.keyboard.press('Enter');
    await expect.poll(() => turn.isEnabled()).toBe(true);
  });
  for (const [text, key] of [['move it by 1 mm, with Shift 10 mm', 'Shift+ArrowRight'], ['turn it', 't'], ['to the next free place, also on another sheet', 's']] as const) {
    await line(`Plates on sheets: ${text}`, async () => {
      const before = await placed();
      await b.page.keyboard.press(key);
      await expect.poll(placed).not.toBe(before);
      await b.laid();
    });
  }
  await line('Plates on sheets: let go', async () => {
    await b.page.keyboard.press('Escape');
    await expect.poll(() => turn.isDisabled()).toBe(true);
  });
}

test('every key on the sheet does what it says there', async () => {
  const b = await open();
  const sheet = new Sheet(b);
  const line = sheet.line.bind(sheet);
  const press = (key: string) => b.page.keyboard.press(key);
  await b.begin({ file: 'bar.svg', data: bar }, 'drawing', { treatment: ['rim'], hand: [{ remove: { region: 'gone', at: [0.5, 0.5] } }] as HandEdit[] });
  await b.page.setInputFiles('input[type=file]', dot);
  await expect.poll(async () => ((await b.job()).drawings as unknown[] | undefined)?.length).toBe(2);
  await b.laid();
  await drawings({ b, line });
  await mat({ b, line });
  await line('Everywhere: to the next field or button; onto the mat, too', async () => {
    await press('Tab');
    expect(await b.mat.evaluate((el) => el === document.activeElement)).toBe(false);
    await press('Shift+Tab');
    expect(await b.mat.evaluate((el) => el === document.activeElement)).toBe(true);
  });
  await line('Everywhere: inches or millimetres first', async () => {
    const size = b.page.locator('.tally dd').first();
    const before = await size.textContent();
    await press('u');
    expect(await size.textContent()).not.toBe(before);
  });
  await line('In a design: go to drawing, stones, plates, sheets, papers', async () => {
    for (const [i, name] of ['Drawing', 'Stones', 'Plates', 'Sheets', 'Papers'].entries()) {
      await press(String(i + 1));
      await b.page.getByRole('complementary', { name }).waitFor();
    }
  });
  await press('3');
  await plates({ b, line });
  await press('4');
  await b.page.getByRole('complementary', { name: 'Sheets' }).waitFor();
  await sheets({ b, line });
  await press('2');
  await b.page.getByRole('complementary', { name: 'Stones' }).waitFor();
  await stones({ b, line });
  const findings = b.page.getByRole('region', { name: 'Findings' });
  await line('In a design: to the next finding', async () => {
    await press('f');
    await findings.waitFor();
  });
  await line('In a design: close the findings', async () => {
    await b.button(/finding/).press('Escape');
    await findings.waitFor({ state: 'hidden' });
  });
  const edits = async () => (await hand(b)).length;
  const before = await edits();
  const undo = () => line('In a design: undo', async () => {
    await press('Control+z');
    await expect.poll(edits).toBe(before - 1);
  });
  await undo();
  await line('In a design: redo', async () => {
    await press('Control+y');
    await expect.poll(edits).toBe(before);
    await press('Control+z');
    await expect.poll(edits).toBe(before - 1);
    await press('Control+Shift+z');
    await expect.poll(edits).toBe(before);
  });
  await line('In a design: make the files', async () => {
    await press('m');
    await b.page.getByRole('link', { name: 'Download everything' }).waitFor({ timeout: 50_000 });
  });
  await line('Everywhere: this sheet', async () => {
    await press('?');
    await b.page.getByRole('heading', { name: 'Keys', exact: true }).waitFor();
  });
  expect(sheet.tried.sort()).toEqual((await sheet.all()).sort());
  await press('Escape');
  await b.page.getByRole('heading', { name: 'Keys', exact: true }).waitFor({ state: 'hidden' });
  expect(b.complaints).toEqual([]);
});
