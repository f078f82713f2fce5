import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { PageHouse, patient } from './page/page-house.js';
import { pixelsOf } from './page/pixels.js';

let house: PageHouse;
beforeAll(async () => {
  house = await PageHouse.open();
});
afterAll(() => house?.close());
const node = () => {
  if (!house.node) throw new Error('This house has no node.');
  return house.node;
};
const isLive = (page: Page) => page.getByText('Live', { exact: true }).waitFor(patient);

it('can be put on a home screen: its manifest names a page of its own that opens, and pictures of the sizes they have', async () => {
  const page = await house.visit();
  const href = await page.locator('link[rel=manifest]').getAttribute('href');
  const at = new URL(href ?? '', house.url);
  const manifest = (await (await fetch(at)).json()) as {
    name: string;
    display: string;
    start_url: string;
    icons: { src: string; sizes: string; type: string }[];
  };
  expect(manifest).toMatchObject({
    name: 'Elbowroom',
    display: expect.stringMatching(/standalone|fullscreen/),
  });
  const start = await fetch(new URL(manifest.start_url, at));
  expect([start.status, start.headers.get('content-type')]).toEqual([
    200,
    expect.stringContaining('text/html'),
  ]);
  const drawn = manifest.icons.filter(({ type }) => type === 'image/png');
  expect(drawn.map(({ sizes }) => sizes)).toEqual(expect.arrayContaining(['192x192', '512x512']));
  for (const { src, sizes } of drawn) {
    const answer = await fetch(new URL(src, at));
    const { width, height } = await pixelsOf(page, Buffer.from(await answer.arrayBuffer()));
    expect(`${width}x${height}`).toBe(sizes);
  }
  await page.context().close();
});

it('keeps the screen on while an engine runs, and lets it sleep when all have stopped', async () => {
  const page = await (await house.context()).newPage();
  // What the browser itself granted, seen from beside the page.
  await page.addInitScript(() => {
    const locks: WakeLockSentinel[] = [];
    Object.assign(globalThis, { held: () => locks.filter(({ released }) => !released).length });
    const ask = WakeLock.prototype.request;
    WakeLock.prototype.request = async function (this: WakeLock, kind?: WakeLockType) {
      const lock = await ask.call(this, kind);
      locks.push(lock);
      return lock;
    };
  });
  const held = () => page.evaluate(() => (globalThis as unknown as { held(): number }).held());
  node().running = { port: true, starboard: false };
  await page.goto(house.url);
  await isLive(page);
  await expect.poll(held, patient).toBe(1);
  node().running = { port: false, starboard: false };
  await expect.poll(held, patient).toBe(0);
  node().running = { port: true, starboard: true };
  await expect.poll(held, patient).toBe(1);
  await page.context().close();
});

it('in the colours of the system the chosen tab, a pressed button, bars and limits are still distinguished', async () => {
  const page = await house.visit();
  await page.emulateMedia({ forcedColors: 'active' });
  await isLive(page);
  await page.getByRole('button', { name: 'Options' }).click(patient);
  /** The colour that most of it has. */
  const ground = async (selector: string) => {
    const { colours } = await pixelsOf(page, await page.locator(selector).first().screenshot());
    return Object.entries(colours).sort(([, a], [, b]) => b - a)[0]?.[0];
  };
  expect(await ground('.tabs a[aria-current]')).not.toBe(await ground('.tabs a:not([aria-current])'));
  expect(await ground('.options [aria-pressed=true]')).not.toBe(
    await ground('.options [aria-pressed=false]'),
  );
  const rail = await pixelsOf(page, await page.locator('.station.wet .rail').first().screenshot());
  const many = Object.values(rail.colours).filter((pixels) => pixels > 20);
  // The bar, its end, the ground and both limits.
  expect(many.length).toBeGreaterThanOrEqual(5);
  await page.context().close();
});

it('opened again without the host it shows the last figures as old, and no error of the browser', async () => {
  const context = await house.context({ width: 1280, height: 800 }, 'allow');
  const page = await context.newPage();
  await page.goto(house.url);
  await isLive(page);
  const isKept = () =>
    page.evaluate(async () => {
      const kept = await caches.open('elbowroom-2');
      const urls = (await kept.keys()).map(({ url }) => new URL(url).pathname);
      return (
        ['/', '/api/now'].every((path) => urls.includes(path)) && urls.some((url) => url.endsWith('.js'))
      );
    });
  await expect.poll(isKept, patient).toBe(true);
  await house.stopHost();
  await page.reload();
  await page.locator('.no-data').getByText('Lost contact with the host.').waitFor(patient);
  const elbow = page.getByRole('region', { name: 'Port', exact: true }).locator('.station.wet');
  expect(await elbow.locator('.degrees').innerText()).toMatch(/^––/);
  expect(await elbow.locator('.said').innerText()).toMatch(/lost contact with the host, last 41\.\d °C/);
  expect(await page.locator('.head .time').innerText()).toBe('--:--:--');
  await house.startHost();
  await page.locator('.no-data').waitFor({ ...patient, state: 'detached' });
  await isLive(page);
  await context.close();
});
