// What happens around the work: reloads, kills, two windows, a full disk, strangers.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, writeFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Bench, shared } from './bench';
import { Program } from './program';

const { open, program, browser } = shared();
const star = { file: 'star.svg' };

test('a reload right after a change loses nothing', async () => {
  const b = await open();
  await b.begin(star);
  await b.choose(b.field('Size').first(), 'SS6');
  await b.page.reload();
  await b.laid();
  expect((await b.job()).stone?.size).toBe('SS6');
});

test('the program is killed and started again: what was changed meanwhile is saved', async () => {
  const own = new Program();
  await own.start();
  const context = await browser().newContext({ viewport: { width: 1366, height: 800 } });
  const b = new Bench(await context.newPage(), own);
  await b.begin(star);
  await own.kill();
  await b.choose(b.field('Size').first(), 'SS8');
  const away = b.page.getByRole('alert').filter({ hasText: 'does not answer' });
  await away.waitFor();
  expect(await b.page.locator('.state').textContent()).toBe('Program away');
  await own.start();
  await away.waitFor({ state: 'hidden' });
  await b.laid();
  expect((await b.job()).stone?.size).toBe('SS8');
  await context.close();
  await own.end();
});

test('killed at once after the change: it is there', async () => {
  const own = new Program();
  await own.start();
  const context = await browser().newContext();
  const b = new Bench(await context.newPage(), own);
  await b.begin(star);
  await b.choose(b.field('Size').first(), 'SS12');
  await b.saved();
  await own.kill();
  await own.start();
  expect((await b.job()).stone?.size).toBe('SS12');
  await context.close();
  await own.end();
});

test('two windows on one design: each shows what the other did', async () => {
  const b = await open();
  await b.begin(star);
  const other = new Bench(await b.page.context().newPage(), b.program);
  await other.page.goto(b.page.url());
  await other.laid();
  await b.choose(b.field('Size').first(), 'SS6');
  await expect.poll(() => other.field('Size').first().inputValue()).toBe('SS6');
  expect(await other.page.getByRole('status').allTextContents()).toEqual(expect.arrayContaining([expect.stringContaining('another window')]));
});

test('two windows change at the same time: both changes are kept', async () => {
  const b = await open();
  await b.begin(star);
  // The other window is on another machine, so to say: it hears nothing of this one.
  const context = await browser().newContext({ viewport: { width: 1366, height: 800 } });
  const other = new Bench(await context.newPage(), b.program);
  await other.page.goto(b.page.url());
  await other.laid();
  await b.choose(b.field('Size').first(), 'SS6');
  await b.saved();
  await other.page.getByRole('button', { name: /^Colour/ }).first().click();
  await other.button('siam').click();
  await expect.poll(async () => (await b.job()).stone).toEqual({ size: 'SS6', colour: 'siam' });
  await other.page.getByText('Your change was made on top of that one').waitFor();
  await context.close();
});

test('the disk is full: the page says so and keeps the change; with room again it is saved', async () => {
  // A file system of half a megabyte, filled up; in a name space of its own nobody else sees it.
  const home = mkdtempSync(join(tmpdir(), 'brushfall-full-'));
  execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=768k', 'tmpfs', home]);
  const own = new Program(home);
  const context = await browser().newContext({ viewport: { width: 1366, height: 800 } });
  try {
    await own.start();
    const b = new Bench(await context.newPage(), own);
    await b.begin(star);
    execFileSync('bash', ['-c', 'dd if=/dev/zero of="$1/filler" bs=4k 2>/dev/null || true; for i in $(seq 400); do head -c 100000 /dev/zero 2>/dev/null > "$1/filler$i" || break; done', 'bash', home], { stdio: 'pipe' });
    // The last page of a file may have room for a few changes yet.
    const told = b.page.getByRole('alert');
    let size = '';
    for (let i = 0; i < 60 && (await told.count()) === 0; i++) {
      size = i % 2 ? 'SS10' : 'SS8';
      await b.choose(b.field('Size').first(), size);
      await expect.poll(async () => (await told.count()) > 0 || (await b.page.locator('.state').textContent()) === 'Saved').toBe(true);
    }
    expect(await told.textContent()).toMatch(/disk|room|space/i);
    expect(await b.field('Size').first().inputValue()).toBe(size);
    execFileSync('bash', ['-c', 'rm -f "$1"/filler*', 'bash', home]);
    await b.saved();
    expect((await b.job()).stone?.size).toBe(size);
  } finally {
    await context.close();
    await own.kill();
    execFileSync('umount', ['-l', home]);
    rmSync(home, { recursive: true, force: true });
  }
});

test('a design goes off the shelf and comes back', async () => {
  const b = await open();
  await b.begin(star);
  await b.home();
  const card = b.page.getByRole('listitem').filter({ hasText: 'star' }).first();
  await card.getByRole('button').click();
  const back = b.button('Put it back');
  await back.waitFor();
  const without = await b.page.locator('.cards li').count();
  await back.click();
  await expect.poll(() => b.page.locator('.cards li').count()).toBe(without + 1);
});

test('an address of nothing leads to the shelf and says so', async () => {
  const b = await open();
  await b.page.goto(`${b.program.url}#/design/nothing/stones`);
  await b.page.getByRole('alert').waitFor();
  await b.page.getByRole('heading', { name: 'Drop a drawing here' }).waitFor();
});

test('the page breaks no rule of its own policy, and asks nobody else', async () => {
  const b = await open();
  await b.page.addInitScript(() => addEventListener('securitypolicyviolation', (e) => ((window as any).broken ??= []).push(`${e.violatedDirective} ${e.blockedURI}`)));
  await b.sample();
  for (const s of ['Drawing', 'Plates', 'Sheets', 'Papers'] as const) await b.station(s);
  expect(await b.page.evaluate(() => (window as any).broken ?? [])).toEqual([]);
  expect(b.outside).toEqual([]);
  const head = (await b.page.request.get(b.program.url)).headers();
  expect(head['content-security-policy']).toMatch(/default-src 'self'/);
  expect(head['content-security-policy']).not.toMatch(/unsafe/);
});

test('a page of another name, led here, gets nothing', async () => {
  const b = await open();
  const answer = await b.page.request.get(new URL('/api/designs', program().url).href, { headers: { Host: 'herons.example' } });
  expect(answer.status()).toBe(421);
});

test('making can be stopped', async () => {
  const b = await open();
  const field = '<svg xmlns="http://www.w3.org/2000/svg" width="390mm" height="390mm" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>';
  await b.begin({ file: 'field.svg', data: field }, 'papers', { stone: { size: 'SS6', colour: 'crystal' }, sheet: { width: '40 in', height: '40 in' } });
  await b.press(b.button('Make the files'));
  await b.press(b.button('Stop'));
  await b.button('Make the files').waitFor();
  expect(await b.page.getByRole('alert').count()).toBe(0);
});

test('a second file of the same name takes the place of the first', async () => {
  const b = await open();
  await b.begin(star, 'drawing');
  const before = (await b.layout()).regions.length;
  const folder = mkdtempSync(join(tmpdir(), 'brushfall-file-'));
  writeFileSync(join(folder, 'star.svg'), '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><circle id="a" cx="2" cy="5" r="2"/><circle id="b" cx="8" cy="5" r="2"/></svg>');
  await b.page.setInputFiles('input[type=file]', join(folder, 'star.svg'));
  await expect.poll(async () => (await b.layout()).regions.map((r) => r.id)).toEqual(expect.arrayContaining(['a', 'b']));
  expect(before).toBe(1);
  rmSync(folder, { recursive: true });
});
