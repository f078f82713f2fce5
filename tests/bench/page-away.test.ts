import type { Page, Route } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import { expectAccessible, PageHouse, patient, shoot } from './page/page-house.js';

/** The screens beside Now come in a file of their own, after Now is seen. What if the host goes before, or after? */
const others = /other-screens/;
const screens = [
  ['history', 'The host does not answer.'],
  ['health', 'The host does not answer.'],
  ['calibrate', 'The host does not answer.'],
  ['set-up', 'Lost contact with the host.'],
  ['now', 'Lost contact with the host.'],
] as const;

let house: PageHouse;
let page: Page;
const go = (screen: string) => page.getByRole('link', { name: screen, exact: true }).click(patient);
const see = (text: string | RegExp) => page.getByText(text).first().waitFor(patient);

beforeAll(async () => {
  house = await PageHouse.open();
});
afterEach(() => page.context().close());
afterAll(() => house?.close());

/** A page whose question for the other screens is held until it is let go, or given up. */
const visitHeld = async () => {
  page = await (await house.context()).newPage();
  const held = new Promise<Route>((asked) => void page.route(others, asked));
  await page.goto(house.url);
  await page.getByText('Live', { exact: true }).waitFor(patient);
  return held;
};

it('says that a screen is being opened while it comes, and opens it', async () => {
  const held = await visitHeld();
  await go('Health');
  await see('Opening…');
  await expectAccessible(page);
  await shoot(page, 'screen-coming');
  await (await held).continue();
  await page.locator('.health').waitFor(patient);
});

it('a host that goes before it gave them is reported in words, and when it answers again the screen opens by itself', async () => {
  const held = await visitHeld();
  const route = await held;
  await house.stopHost();
  await route.continue();
  await go('History');
  await see('This screen did not load');
  await see('It opens when the host is back.');
  expect(await page.getByRole('button', { name: 'Reload' }).isDisabled()).toBe(true);
  await expectAccessible(page);
  await shoot(page, 'screen-not-had');
  await page.unroute(others);
  await house.startHost();
  await page.locator('.history .envelope').first().waitFor(patient);
});

it('where the browser or a renewed host keeps its no, the page can be loaded again, at the screen that was wanted', async () => {
  const held = await visitHeld();
  await (await held).abort();
  await page.unroute(others);
  await page.route(others, (route) => route.abort());
  await go('Set-up');
  const again = page.getByRole('button', { name: 'Reload' });
  await see('The host is back: reload the page.');
  await page.unroute(others);
  // The page may have tried again by itself in the meantime; then there is no button any more.
  await again.click({ timeout: 5_000 }).catch(() => undefined);
  await page.getByRole('button', { name: 'Limits of Port wet elbow' }).waitFor(patient);
});

it('once they are here every screen opens without the host, each with its word, and fills when the host returns', async () => {
  page = await (await house.context()).newPage();
  const had = page.waitForResponse(others, patient);
  await page.goto(house.url);
  await page.getByText('Live', { exact: true }).waitFor(patient);
  await (await had).finished();
  await house.stopHost();
  await see('Lost contact with the host.');
  for (const [screen, word] of screens) {
    await page.evaluate((hash) => {
      location.hash = hash;
    }, screen);
    await page.locator(`main .${screen}`).waitFor(patient);
    await see(word);
    expect(await page.getByText('Failed to fetch').count()).toBe(0);
    await shoot(page, `hostless-${screen}`);
  }
  await go('History');
  await see('The host does not answer.');
  await house.startHost();
  await page.locator('.extremes tr', { hasText: 'Port wet elbow' }).waitFor(patient);
  expect(await page.getByText('The host does not answer.').count()).toBe(0);
});
