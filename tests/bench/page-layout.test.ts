import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { layoutTroubles, troublesEverywhere } from './page/layout.js';
import { expectAccessibleByDayAndNight, expectContrastAAA, PageHouse, patient } from './page/page-house.js';

describe('no text overlaps another, leaves the screen or is cut off, at any size, zoom and font, and axe finds nothing', () => {
  let house: PageHouse;
  let page: Page;
  const node = () => {
    if (!house.node) throw new Error('This house has no node.');
    return house.node;
  };
  const alarm = (engine: string) =>
    node().raise({ id: `cooling:${engine}`, priority: 'alarm', engine, probe: `${engine}-elbow` });

  beforeAll(async () => {
    house = await PageHouse.open({ season: true });
    page = await house.visit();
    await page.getByText('Live', { exact: true }).waitFor(patient);
  });
  afterAll(() => house?.close());

  /** Laid out well everywhere, and nothing that axe finds in either palette. */
  const expectGood = async () => {
    expect(await troublesEverywhere(page)).toEqual({});
    await expectAccessibleByDayAndNight(page);
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
  it('what is spoilt on purpose is found: a text on another, one off the screen, one cut off', async () => {
    await page.evaluate(() => {
      const spoilt = document.createElement('div');
      spoilt.id = 'spoilt';
      // The page's policy allows no style in HTML.
      for (const [text, style] of [
        ['first word', 'position: absolute; left: 9px; top: 9px; margin: 0'],
        ['second word', 'position: absolute; left: 9px; top: 9px; margin: 0'],
        ['off to the left', 'position: fixed; left: -40px; top: 60px'],
        [
          'too long for it',
          'position: absolute; top: 99px; width: 20px; overflow: hidden; white-space: nowrap',
        ],
      ] as const) {
        const line = document.createElement('p');
        line.textContent = text;
        line.style.cssText = style;
        spoilt.append(line);
      }
      document.body.append(spoilt);
    });
    const troubles = (await layoutTroubles(page)).join('\n');
    await page.evaluate(() => document.querySelector('#spoilt')?.remove());
    expect(troubles).toMatch(/"first word" overlaps "second word"/);
    expect(troubles).toContain('"off to the left" leaves the screen');
    expect(troubles).toContain('"too long for it" is cut off by');
  });

  it.each(states)('Now: %s', async (_, reach, sign) => {
    await reach();
    await page.locator(sign).first().waitFor(patient);
    await expectGood();
    if (sign.startsWith('.card.alarm')) await expectContrastAAA(page, '.alert.card, .alarm-strip');
  });

  const screens: readonly (readonly [hash: string, sign: string])[] = [
    ['history?last=15552000000', '.marks li .mark'],
    ['health', '.soaks'],
    ['calibrate', '.calibrate form'],
    ['set-up', '.setpoints'],
    ['diagnostics', '.diagnostics table'],
  ];
  it.each(screens)('%s', async (hash, sign) => {
    await page.goto(`${house.url}#${hash}`);
    await page.locator(sign).first().waitFor(patient);
    await page.waitForLoadState('networkidle').catch(() => undefined);
    await expectGood();
  });

  it('history with trips, one laid over another', async () => {
    await page.goto(`${house.url}#history?last=15552000000`);
    await page.getByRole('button', { name: 'List the trips in view' }).click(patient);
    const boxes = page.getByRole('checkbox', { name: /^Compare the trip/ });
    await boxes.first().check(patient);
    await boxes.nth(1).check(patient);
    await page.locator('.overlay figure').nth(3).waitFor(patient);
    await expectGood();
  });

  it('Now: no data', async () => {
    await page.goto(`${house.url}#now`);
    alarm('starboard');
    await page.locator('.card.alarm').waitFor(patient);
    await house.stopHost();
    await page.locator('.no-data').waitFor(patient);
    await expectGood();
  });
});
