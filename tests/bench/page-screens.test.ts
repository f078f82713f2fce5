import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parseKit } from '../../node/kit/load-kit.js';
import { chooseOption, PageHouse, patient, shoot } from './page/page-house.js';
import { pixelsOf } from './page/pixels.js';
import { expectThumbs } from './page/thumb.js';

const screens = ['now', 'history', 'health', 'calibrate', 'set-up'] as const;

// One file, though long: one host, browser and history serve all of it, and starting them takes longer than the tests.
describe('every screen over an invented season', () => {
  let house: PageHouse;
  let page: Page;
  const go = async (screen: string) => {
    await page.goto(`${house.url}#${screen}`);
    await page.locator('main').waitFor(patient);
  };

  const choose = (option: string) => chooseOption(page, option);

  beforeAll(async () => {
    house = await PageHouse.open({ season: true });
    page = await house.visit();
    await page.getByText('Live', { exact: true }).waitFor(patient);
  });
  afterAll(() => house?.close());

  it('a year of history shows every trip, the alarm and the work done, and its link shows it again', async () => {
    await go('history');
    await page.getByRole('button', { name: '1 year' }).click(patient);
    await page
      .getByText(/Impeller changed/)
      .first()
      .waitFor(patient);
    await page
      .getByText(/Starboard wet elbow.*invented season/)
      .first()
      .waitFor(patient);
    const readings = page.locator('.extremes tbody tr').first().locator('td').nth(3);
    await expect.poll(async () => Number(await readings.innerText()), patient).toBeGreaterThan(100_000);
    await shoot(page, 'history-year');
    const link = page.url();
    expect(link).toContain('last=31536000000');
    const other = await house.visit(new URL(link).hash);
    await other
      .getByText(/Impeller changed/)
      .first()
      .waitFor(patient);
    expect(await other.getByRole('button', { name: '1 year' }).getAttribute('aria-pressed')).toBe('true');
    await other.context().close();
  });

  it('looks at an alarm closely, moves and zooms by keyboard, and saves what is seen', async () => {
    await page
      .locator('.marks li', { hasText: /Starboard wet elbow.*invented season/ })
      .getByRole('button', { name: 'Show on chart' })
      .click(patient);
    await expect.poll(() => page.url(), patient).toMatch(/from=\d+&to=\d+/);
    const span = () => {
      const query = new URLSearchParams(page.url().split('?')[1]);
      return Number(query.get('to')) - Number(query.get('from'));
    };
    expect(span()).toBeLessThan(20 * 60_000);
    // The peak is in the table when the figures of this span have come.
    const greatest = page.locator('.extremes tr', { hasText: 'Starboard wet elbow' }).locator('td').nth(3);
    await expect.poll(async () => Number(await greatest.innerText()), patient).toBeLessThan(1_300);
    await shoot(page, 'history-alarm');
    const before = span();
    await page.getByRole('application', { name: /^Water side/ }).focus();
    await page.keyboard.press('-');
    await expect.poll(span, patient).toBeGreaterThan(before * 1.9);
    const download = page.waitForEvent('download', patient);
    await page.getByRole('link', { name: 'Save as CSV' }).click(patient);
    const saved = join(house.dataDir, 'seen.csv');
    await (await download).saveAs(saved);
    const text = readFileSync(saved, 'utf8');
    expect(text.split('\n')[0]).toBe(
      'bucket_start,bucket_seconds,probe,quantity,readings,missing,min,mean,max',
    );
    expect(text.split('\n').length).toBeGreaterThan(200);
  });

  it('saves the charts as a picture, with titles, keys and the lines in their colours', async () => {
    const download = page.waitForEvent('download', patient);
    await page.getByRole('button', { name: 'Save as picture' }).click(patient);
    const file = await download;
    expect(file.suggestedFilename()).toMatch(/^elbowroom-\d{4}-\d\d-\d\d\.png$/);
    const saved = join(house.dataDir, 'seen.png');
    await file.saveAs(saved);
    const charts = await page
      .locator('.envelope canvas')
      .evaluateAll((all) =>
        all.map(
          (canvas) => [(canvas as HTMLCanvasElement).width, (canvas as HTMLCanvasElement).height] as const,
        ),
      );
    const picture = await pixelsOf(page, readFileSync(saved));
    expect(picture.width).toBe(Math.max(...charts.map(([width]) => width)));
    expect(picture.height).toBeGreaterThan(charts.reduce((sum, [, height]) => sum + height, 0));
    // The colours of both engines by day, and of the paper (palette.css).
    expect(picture.colours['122,46,110']).toBeGreaterThan(100);
    expect(picture.colours['28,107,82']).toBeGreaterThan(100);
    expect(picture.colours['253,252,248']).toBeGreaterThan(10_000);
  });

  it('draws one trip over another from their starts, and reads both by keyboard', async () => {
    await go('history');
    await page.getByRole('button', { name: '1 year' }).click(patient);
    await page.getByRole('button', { name: 'List the trips in view' }).click(patient);
    const ticks = page.getByRole('checkbox', { name: /^Compare the trip/ });
    // The newest one is just beginning.
    await ticks.nth(1).check(patient);
    await page.getByText('Tick a second trip').waitFor(patient);
    await ticks.nth(3).check(patient);
    const chart = page.getByRole('application', { name: /^Starboard wet elbow on both trips/ });
    await chart.focus(patient);
    // Early in both trips: the shorter one has no value after its end.
    await chart.hover({ position: { x: 110, y: 60 } });
    await page.keyboard.press('ArrowLeft');
    const figure = page.locator('.overlay figure', { hasText: 'Starboard wet elbow' });
    await figure.getByText(/^hours since start, at \d+:\d\d/).waitFor(patient);
    const values = await figure.locator('.key b').allInnerTexts();
    expect(values).toHaveLength(2);
    for (const value of values) expect(value).toMatch(/°C$/);
    await shoot(page, 'trip-overlay', true);
    // Only two at a time: the one ticked first gives way.
    await ticks.nth(2).check(patient);
    expect(await ticks.nth(1).isChecked()).toBe(false);
    await page.locator('.overlay figure').first().waitFor(patient);
  });

  it('a note at the moment that the chart is pointed at is kept, listed and linked to its time', async () => {
    await page.getByRole('button', { name: '1 h', exact: true }).click(patient);
    const chart = page.getByRole('application', { name: /^Water side/ });
    await chart.focus(patient);
    await page.keyboard.press('ArrowLeft');
    await page.getByText('Log work or a note').click(patient);
    await page.locator('.service select').first().selectOption('note');
    await page.getByRole('button', { name: /^Use .* from the chart$/ }).click(patient);
    await page.locator('.service').getByLabel('Note', { exact: true }).fill('Weed on the strainer');
    await page.locator('.service').getByRole('button', { name: 'Save' }).click(patient);
    await page.locator('.marks li', { hasText: 'note: Port, Weed on the strainer' }).waitFor(patient);
    await shoot(page, 'history-note', true);
  });

  it('a link to another span, opened while History is seen, shows that span', async () => {
    await page.evaluate(() => {
      location.hash = 'history?last=86400000';
    });
    await expect
      .poll(() => page.getByRole('button', { name: '1 day' }).getAttribute('aria-pressed'), patient)
      .toBe('true');
  });

  it('health sees the worn impeller, its change, and the probe that drifts in the cold', async () => {
    await go('health');
    await page.getByText('Raw-water effectiveness').waitFor(patient);
    // The season's starboard elbow probe drifts by +1.4 C, and its cooler is as it was: the verdict says so first.
    await page
      .getByRole('heading', { name: 'Starboard: probably the elbow probe, not the cooler' })
      .waitFor(patient);
    const drifts = page.locator('.soaks tr', { hasText: 'Starboard wet elbow' });
    await drifts.getByText('drifts: calibrate it again').waitFor(patient);
    const strip = await page.locator('svg.strip').first().getAttribute('aria-label');
    expect(strip).toMatch(/Port from \d\.\d\d to \d\.\d\d over \d+ trips/);
    await shoot(page, 'health');
  });

  it('set-up says how often a setpoint would have fired, and writes it with a backup', async () => {
    await go('set-up');
    await page.getByRole('button', { name: 'Limits of Starboard wet elbow' }).click(patient);
    const warning = page.locator('.setpoints fieldset.warning');
    await warning.getByText(/Reached \d+ times? in \d+ stored hours/).waitFor(patient);
    await warning.getByLabel(/^Above/).fill('96');
    await warning.getByText(/Never reached in/).waitFor(patient);
    const write = page.getByRole('button', { name: 'Save limits' });
    await page.getByText('The warning must be below the alarm, so that it comes first.').waitFor(patient);
    expect(await write.isDisabled()).toBe(true);
    const alarm = page.locator('.setpoints fieldset.alarm');
    await alarm.getByLabel(/^Above/).fill('9x');
    await alarm.getByText('must be a number').waitFor(patient);
    expect(await write.isDisabled()).toBe(true);
    await alarm.getByLabel(/^Above/).fill('98,5');
    await write.click(patient);
    await page.getByText(/Saved; the old file is kept/).waitFor(patient);
    const kit = parseKit(readFileSync(house.kitPath, 'utf8'), house.kitPath);
    const raise = (id: string) => {
      const { warning, alarm } = kit.probes.find((probe) => probe.id === id)?.limits ?? {};
      return [warning?.raiseAtC, alarm?.raiseAtC];
    };
    expect([raise('starboard-elbow'), raise('port-elbow')]).toEqual([
      [96, 98.5],
      [68, 75],
    ]);
    await shoot(page, 'set-up');
    await alarm.getByRole('checkbox').click(patient);
    await alarm.getByText(/uses its own alarm limit, 93 °C/).waitFor(patient);
    await alarm.getByRole('checkbox').click(patient);
  });

  it('a kit file that is wrong is refused by line, and the file stays as it was', async () => {
    const before = readFileSync(house.kitPath, 'utf8');
    await page.locator('.kit-file summary').click(patient);
    await page.getByLabel('Kit file').fill(before.replace('engine: port', 'engine: middle'));
    await page.locator('.kit-file').getByRole('button', { name: 'Save' }).click(patient);
    await page.locator('.kit-file pre', { hasText: /middle/ }).waitFor(patient);
    expect(readFileSync(house.kitPath, 'utf8')).toBe(before);
  });

  it('kit text that is not saved is kept while another screen is seen, and given up only when asked', async () => {
    await go('health');
    await go('set-up');
    const field = page.getByLabel('Kit file');
    await page.getByText('Your changes are not saved yet.').waitFor(patient);
    expect(await field.inputValue()).toContain('engine: middle');
    await page.locator('.kit-file').getByRole('button', { name: 'Reload' }).click(patient);
    expect(await field.inputValue()).toContain('engine: middle');
    await page.getByRole('button', { name: 'Yes, discard my changes' }).click(patient);
    await expect.poll(() => field.inputValue(), patient).not.toContain('engine: middle');
    expect(await page.getByText('Your changes are not saved yet.').count()).toBe(0);
  });

  it('the buzzer test reaches the node', async () => {
    await page.getByRole('button', { name: /Sound the buzzer/ }).click(patient);
    await page.getByText(/It sounds for three seconds/).waitFor(patient);
    expect(house.node?.soundTests).toBe(1);
  });

  it('no target is smaller than a wet thumb, 48 x 48 px, and nothing is cut off: tablet both ways and phones', async () => {
    for (const viewport of [
      { width: 1280, height: 800 },
      { width: 800, height: 1280 },
      { width: 390, height: 844 },
      { width: 360, height: 640 },
    ]) {
      await page.setViewportSize(viewport);
      for (const screen of screens) {
        await go(screen);
        await page.waitForLoadState('networkidle').catch(() => undefined);
        await expectThumbs(page, `${screen} at ${viewport.width}`);
        await shoot(page, `${screen}-${viewport.width}`, true);
      }
    }
    await page.setViewportSize({ width: 1280, height: 800 });
  });

  it('on a phone one finger moves in time and two fingers change the span', async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    await go('history');
    await page.getByRole('button', { name: '1 day' }).click(patient);
    const cdp = await page.context().newCDPSession(page);
    await cdp.send('Emulation.setTouchEmulationEnabled', { enabled: true });
    const chart = page.locator('.envelope .plot canvas').first();
    await chart.scrollIntoViewIfNeeded(patient);
    const box = await chart.boundingBox();
    if (!box) throw new Error('No chart to touch.');
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...shares: number[]) =>
      cdp.send('Input.dispatchTouchEvent', {
        type,
        touchPoints: shares.map((share, id) => ({
          x: box.x + 44 + share * (box.width - 54),
          y: box.y + 60,
          id,
        })),
      });
    const shown = () => {
      const query = new URLSearchParams(page.url().split('?')[1]);
      const [from, to] = [Number(query.get('from')), Number(query.get('to'))];
      return { from, span: to - from };
    };
    const dayMs = 86_400_000;
    await touch('touchStart', 0.2);
    for (const share of [0.3, 0.4, 0.5, 0.6, 0.7]) await touch('touchMove', share);
    await touch('touchEnd');
    // Half the width to the right shows half a day earlier.
    const offBy = () => Math.abs((Date.now() - dayMs - shown().from) / dayMs - 0.5);
    await expect.poll(offBy, patient).toBeLessThan(0.06);
    expect(shown().span).toBe(dayMs);
    await touch('touchStart', 0.4, 0.6);
    for (const apart of [0.3, 0.4, 0.5, 0.6]) await touch('touchMove', 0.5 - apart / 2, 0.5 + apart / 2);
    await touch('touchEnd');
    // Fingers three times as far apart show a third.
    await expect.poll(() => Math.abs(shown().span / (dayMs / 3) - 1), patient).toBeLessThan(0.1);
    await touch('touchStart', 0.2, 0.8);
    for (const apart of [0.5, 0.4, 0.3, 0.2]) await touch('touchMove', 0.5 - apart / 2, 0.5 + apart / 2);
    await touch('touchEnd');
    await expect.poll(() => Math.abs(shown().span / dayMs - 1), patient).toBeLessThan(0.15);
    await cdp.detach();
    await page.setViewportSize({ width: 1280, height: 800 });
  });

  it('by night no colour on any screen has blue in it, and nothing is unreadable', async () => {
    await go('now');
    await choose('Night');
    for (const screen of screens) {
      await go(screen);
      await page.locator('main h2, main h3').first().waitFor(patient);
      const blue = await page.evaluate(() => {
        const found: string[] = [];
        for (const element of document.querySelectorAll('body, body *:not(img)')) {
          const style = getComputedStyle(element);
          for (const name of ['color', 'backgroundColor', 'borderTopColor', 'fill', 'stroke'] as const) {
            const parts = style[name].match(/^rgba?\((\d+), (\d+), (\d+)(?:, ([\d.]+))?\)$/);
            if (parts && Number(parts[4] ?? 1) > 0 && Number(parts[3]) > 0)
              found.push(`${element.tagName} ${name} ${style[name]}`);
          }
        }
        return found;
      });
      expect(blue, screen).toEqual([]);
    }
    await go('now');
    await shoot(page, 'night');
    await choose('Day');
  });

  it('Fahrenheit is a choice that is remembered: 41.3 C is 106.3 F, 33.7 K of room are 61 F', async () => {
    await go('now');
    await choose('°F');
    const port = page.getByRole('region', { name: 'Port', exact: true });
    await expect.poll(() => port.locator('.room .figure').innerText(), patient).toMatch(/^61\s*°F$/);
    await page.reload();
    await expect
      .poll(() => port.locator('.station.wet .degrees').innerText(), patient)
      .toMatch(/^106\.\d\s*°F/);
    await choose('°C');
  });
});
