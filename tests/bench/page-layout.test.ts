import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { layoutTroubles } from './page/layout.js';
import { PageHouse, patient } from './page/page-house.js';

/** Screens that boats have, and the narrowest phone. */
const sizes = [
  [1280, 800],
  [1024, 600],
  [800, 480],
  [1920, 1080],
  [390, 844],
  [360, 640],
] as const;
/** A zoomed page is laid out in a window of so many times fewer pixels. */
const zooms = [1, 2, 4] as const;
/** A tablet of 1024 px at 400 %. A phone is not zoomed by its layout; its pinch only magnifies. */
const narrowest = 256;
const windows = sizes.flatMap(([width, height]) =>
  zooms
    .map((zoom) => ({ zoom, width: Math.round(width / zoom), height: Math.round(height / zoom) }))
    .filter(({ width: shown }) => shown >= narrowest),
);
/** The shipped font, and one of the widest that a machine may put in its place. */
const fonts = ['', '"DejaVu Sans"'] as const;

describe('no text lies on another, leaves the screen or is cut off, at any size, zoom and font', () => {
  let house: PageHouse;
  let page: Page;
  const node = () => {
    if (!house.node) throw new Error('This house has no node.');
    return house.node;
  };
  const alarm = (engine: string) =>
    node().raise({ id: `cooling:${engine}`, priority: 'alarm', engine, probe: `${engine}-elbow` });

  beforeAll(async () => {
    house = await PageHouse.open();
    page = await house.visit();
    await page.getByText('Live', { exact: true }).waitFor(patient);
  });
  afterAll(() => house?.close());

  const everywhere = async () => {
    const found: Record<string, readonly string[]> = {};
    for (const font of fonts) {
      await page.evaluate(async (family) => {
        document.documentElement.style.fontFamily = family;
        await document.fonts.ready;
      }, font);
      for (const { width, height, zoom } of windows) {
        await page.setViewportSize({ width, height });
        // What is drawn to its own width is drawn again in the frame after.
        await page.evaluate(
          () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
        );
        const troubles = await layoutTroubles(page);
        if (troubles.length > 0)
          found[`${width} x ${height} (${zoom * 100} %) in ${font || 'Arimo'}`] = troubles.slice(0, 6);
      }
    }
    return found;
  };

  const states: readonly (readonly [state: string, reach: () => Promise<void> | void, sign: string])[] = [
    ['live', () => {}, '.engine .room.calm'],
    ['a warning', () => node().raise({ id: 'cooling:starboard', priority: 'warning' }), '.card.warning'],
    [
      'two alarms',
      () => {
        node().temperatures['starboard-elbow'] = 101;
        alarm('starboard');
        alarm('port');
      },
      '.card.alarm + .card.alarm',
    ],
    [
      'an alarm with more',
      () => page.getByRole('button', { name: 'More' }).first().click(patient),
      '.more:not([hidden])',
    ],
    ['an alarm acknowledged', () => page.keyboard.press('F8'), '.card.acknowledged'],
    [
      'a caution and two that ended',
      () => {
        node().temperatures['starboard-elbow'] = 42;
        node().raise({ id: 'probe-fault:sea-water', priority: 'caution', probe: 'sea-water' });
        for (const engine of ['port', 'starboard']) {
          alarm(engine);
          node().rectify(`cooling:${engine}`);
        }
      },
      '.ended',
    ],
    [
      'probes not seen, and the options open',
      async () => {
        node().clear();
        node().missing = { 'port-elbow': 'open', 'starboard-exhaust': 'contradicting' };
        await page.getByRole('button', { name: 'Options' }).click(patient);
      },
      '.room.unknown',
    ],
  ];
  it.each(states)('Now: %s', { timeout: 120_000 }, async (_, reach, sign) => {
    await page.setViewportSize({ width: 1280, height: 800 });
    await reach();
    await page.locator(sign).first().waitFor(patient);
    expect(await everywhere()).toEqual({});
  });

  it.each(['history', 'health', 'calibrate', 'set-up'])('%s', { timeout: 120_000 }, async (screen) => {
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.goto(`${house.url}#${screen}`);
    await page.locator(`main .${screen}`).waitFor(patient);
    await page.waitForLoadState('networkidle').catch(() => undefined);
    expect(await everywhere()).toEqual({});
  });

  it('Now: no data', { timeout: 120_000 }, async () => {
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.goto(`${house.url}#now`);
    alarm('starboard');
    await page.locator('.card.alarm').waitFor(patient);
    await house.stopHost();
    await page.locator('.no-data').waitFor(patient);
    expect(await everywhere()).toEqual({});
  });
});
