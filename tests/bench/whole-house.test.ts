import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStoreToRead } from '../../host/store/index.js';
import { systemClock } from '../../node/time/clock.js';
import { BenchHouse } from './house/bench-boat.js';
import { chromiumOptions } from './house/browser.js';
import { until } from './house/running-command.js';

/** Probes and inputs of the invented boat: part tolerances, one count of the converter, and the noise on top. */
const toleranceC = (place: string): number => (place === 'sea-water' || place === 'wet-elbow' ? 2.5 : 12);

describe('the whole house on the bench boat: a bag over the starboard intake, from water to page', () => {
  let house: BenchHouse;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    house = await BenchHouse.open();
    browser = await chromium.launch(chromiumOptions);
    await house.untilLive().catch((error) => {
      throw new Error(`${error.message}\n${house.said()}`);
    });
    page = await browser.newPage();
    await page.goto(house.pageUrl);
  });
  afterAll(async () => {
    await browser?.close();
    await house?.close();
  });

  it('every live value agrees with the true temperature within its tolerance', async () => {
    const [now, truth] = [await house.untilLive(), await house.truth()];
    expect(now.probes.length).toBe(6);
    for (const probe of now.probes) {
      const trueC = truth.probes[probe.id]?.temperatureC as number;
      expect(Math.abs((probe.temperatureC as number) - trueC), probe.id).toBeLessThan(
        toleranceC(probe.place),
      );
    }
    expect(now.alerts.filter((a) => a.state !== 'rectified')).toEqual([]);
  });

  it('bagged, the buzzer pin goes high and the page shows an unacknowledged alarm', async () => {
    await house.act({ action: 'bag-intake', engine: 'starboard' });
    await until('the buzzer pin', async () => (await house.truth()).pins.buzzer);
    const alarm = await until('the alarm', async () =>
      (await house.now()).alerts.find((a) => a.priority === 'alarm' && a.state === 'unacknowledged'),
    );
    expect(alarm.engine).toBe('starboard');
    await page
      .getByRole('button', { name: /^acknowledge/i })
      .first()
      .waitFor({ timeout: 120_000 });
  });

  it('acknowledged on the page, the node knows, the buzzer is quiet and the lamp steady', async () => {
    // A warning that was acknowledged and then grows into an alarm asks again, so press until nothing asks.
    await until('every alert acknowledged', async () => {
      const button = page.getByRole('button', { name: /^acknowledge/i }).first();
      if (await button.isVisible()) await button.click({ timeout: 5000 });
      const { alerts } = await house.now();
      return alerts.some((a) => a.engine === 'starboard') && alerts.every((a) => a.state === 'acknowledged');
    });
    await until('a quiet buzzer', async () => !(await house.truth()).pins.buzzer);
    // Repeated looks for 1.5 s of the board's own time: a lamp that flashes once a second cannot pass them all.
    await until('a steady lamp', async () => {
      const from = (await house.truth()).emulatedS;
      for (let looks = 1; ; looks++) {
        const { emulatedS, pins } = await house.truth();
        if (!pins.lamp) return false;
        if (emulatedS - from > 1.5 && looks >= 5) return true;
      }
    });
  });

  it('with the bag gone the alert is rectified and the lamp goes out', async () => {
    await house.act({ action: 'clear-intake', engine: 'starboard' });
    await until(
      'the rectified state',
      async () => (await house.now()).alerts.some((a) => a.engine === 'starboard' && a.state === 'rectified'),
      90,
    );
    await until('a dark lamp', async () => !(await house.truth()).pins.lamp);
  });

  it('the store holds the whole episode, in order, with no gap in the sequence', async () => {
    const now = await house.now();
    await house.kill('host', 'SIGTERM');
    const store = openStoreToRead(join(house.dataDir, 'host'), systemClock);
    const from = now.at - 3_600_000;
    const episode = store.alerts({ from, to: now.at + 60_000 });
    const states = episode.flatMap((e) => e.history.map((h) => h.alert.state));
    expect(states).toEqual(expect.arrayContaining(['unacknowledged', 'acknowledged', 'rectified']));
    expect(store.gaps({ from, to: now.at + 60_000 })).toEqual([]);
    const elbow = store.span({ probe: 'starboard-elbow', from, to: now.at + 60_000 });
    expect(elbow.length).toBeGreaterThan(30);
    const steps = elbow.slice(1).map((row, i) => row.at - (elbow[i]?.at ?? 0));
    expect(Math.min(...steps)).toBeGreaterThan(0);
    expect(Math.max(...steps)).toBeLessThan(5_000);
    store.close();
  });

  it('with the host dead the buzzer still sounds', async () => {
    await house.act({ action: 'bag-intake', engine: 'port' });
    await until('the buzzer pin', async () => (await house.truth()).pins.buzzer);
    await house.act({ action: 'clear-intake', engine: 'port' });
  });
});
