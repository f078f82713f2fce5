import { readFileSync, writeFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { expectAccessibleByDayAndNight, PageHouse, patient, shoot } from './page/page-house.js';

let house: PageHouse;
let page: Page;
const node = () => {
  if (!house.node) throw new Error('This house has no node.');
  return house.node;
};
/** Two thermistors in one bath: what the board would measure across them there. */
const sit = (portOhms: number, starboardOhms = portOhms) => {
  node().raws['port-elbow'] = { raw: portOhms, rawUnit: 'ohm' };
  node().raws['starboard-elbow'] = { raw: starboardOhms, rawUnit: 'ohm' };
};
/** A thermistor that is still on the table, at 25 C. */
const onTheTable = 10_000;
const begin = (name: RegExp) => page.getByRole('button', { name }).click(patient);
const phone = { width: 390, height: 844 };
const helm = { width: 1280, height: 800 };

/** The caution, whole in view on a tablet and on a phone as the step begins, and whether what scalds is in it. */
const expectCaution = async (step: string) => {
  for (const viewport of [phone, helm]) {
    await page.setViewportSize(viewport);
    const caution = page.locator('.calibrate .caution');
    for (const word of ['steam scald', 'Gloves', 'cannot tip', 'children', 'Mains leads', 'off and cold'])
      expect(await caution.innerText(), step).toContain(word);
    const box = await caution.boundingBox();
    expect(box?.y, step).toBeGreaterThanOrEqual(0);
    expect((box?.y ?? 0) + (box?.height ?? 0), step).toBeLessThan(viewport.height);
    await shoot(page, `calibrate-${step}-${viewport.width}`);
  }
};

beforeAll(async () => {
  house = await PageHouse.open();
  page = await house.visit('#calibrate');
  await page.getByText('Live', { exact: true }).waitFor(patient);
});
afterAll(() => house?.close());

it('warns of each engine whose running input is on, until it is off', async () => {
  const warning = page.getByRole('alert').filter({ hasText: 'its running input is on' });
  await expect.poll(() => warning.allInnerTexts(), patient).toHaveLength(2);
  await shoot(page, 'calibrate-running');
  node().running = { port: false, starboard: true };
  await expect.poll(() => warning.allInnerTexts(), patient).toEqual([expect.stringMatching(/^Starboard/)]);
  node().running = { port: false, starboard: false };
  await expect.poll(() => warning.count(), patient).toBe(0);
});

it('the caution against scalds is in view at every step: before the baths, in the ice and in the boiling water', async () => {
  sit(32_650, onTheTable);
  await page.getByLabel(/^Settled when held/).fill('5');
  await expectCaution('choose');
  await begin(/^Begin$/);
  await page.getByRole('button', { name: 'They are in kitchen ice' }).waitFor(patient);
  await expectCaution('between');
  await expectAccessibleByDayAndNight(page);
  await begin(/They are in kitchen ice/);
  await page.getByRole('button', { name: 'Record 1 probe' }).waitFor(patient);
  await expectCaution('in-ice');
  await expectAccessibleByDayAndNight(page);
  // When the last probe has settled the bath is taken by itself.
  sit(32_650);
  await page.locator('.taken li', { hasText: 'ice' }).first().waitFor(patient);
  sit(679, onTheTable);
  await page.getByLabel('Altitude of this place').fill('10ft');
  await page.getByLabel('Weather report').fill('29.92inHg');
  await begin(/They are in the boiling water/);
  await page.getByRole('button', { name: 'Record 1 probe' }).waitFor(patient);
  await expectCaution('in-boiling');
  sit(679);
  await page.locator('.taken li', { hasText: 'boiling' }).first().waitFor(patient);
});

it('a kit file that cannot be changed is reported beside the certificates that were issued all the same', async () => {
  const good = readFileSync(house.kitPath, 'utf8');
  const broken = good.replace('engine: port', 'engine: middle');
  writeFileSync(house.kitPath, broken);
  await page.getByRole('button', { name: 'Issue certificates' }).click(patient);
  const shown = page
    .getByRole('alert')
    .filter({ hasText: 'The kit file does not name the new certificates' });
  await shown.waitFor(patient);
  expect(await shown.innerText()).toMatch(/Correct it first.*middle/s);
  await page.getByText('certificate port-elbow@1').waitFor(patient);
  expect(readFileSync(house.kitPath, 'utf8')).toBe(broken);
  await expectAccessibleByDayAndNight(page);
  await shoot(page, 'calibrate-kit-not-changed');
  writeFileSync(house.kitPath, good);
});

it('a certificate is read on the page, in words and as a picture, on a phone too', async () => {
  await page.getByRole('button', { name: 'port-elbow@1' }).click(patient);
  await page.locator('.certificate pre', { hasText: 'port-elbow' }).waitFor(patient);
  const width = () =>
    page.locator('.certificate img').evaluate((picture: HTMLImageElement) => picture.naturalWidth);
  await expect.poll(width, patient).toBeGreaterThan(100);
  for (const viewport of [phone, helm]) {
    await page.setViewportSize(viewport);
    await page.locator('.certificate').scrollIntoViewIfNeeded(patient);
    const wide = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(wide).toBe(0);
    await shoot(page, `certificate-${viewport.width}`);
  }
});
