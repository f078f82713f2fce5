import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { expectAccessible, PageHouse, patient, shoot } from './page/page-house.js';

const screens = ['now', 'history', 'health', 'calibrate', 'set-up'] as const;
const helm = { width: 1280, height: 800 };
const phone = { width: 390, height: 844 };

describe.each([helm, phone])('wherever a page is scrolled, $width px wide', (viewport) => {
  let house: PageHouse;
  let page: Page;
  const node = () => {
    if (!house.node) throw new Error('This house has no node.');
    return house.node;
  };
  const go = async (screen: string) => {
    await page.locator(`.tabs a[href="#${screen}"]`).click(patient);
    await page.locator(`main .${screen}`).waitFor(patient);
  };
  const toTheEnd = () => page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
  const scrolled = () => page.evaluate(() => scrollY);
  /** Health is long once its figures have come, and only then can its alerts be scrolled away. */
  const downHealth = async () => {
    await go('health');
    const tried = () => toTheEnd().then(scrolled);
    await expect.poll(tried, patient).toBeGreaterThan(300);
  };
  /** The texts of alarms, and of buttons in them, that can be seen and pressed where the page stands now. */
  const inView = () =>
    page.evaluate(() =>
      [...document.querySelectorAll('.alert.alarm button')]
        .filter((button) => {
          const { left, top, right, bottom } = button.getBoundingClientRect();
          if (top < 0 || left < 0 || bottom > innerHeight || right > innerWidth) return false;
          if (bottom - top < 48 || right - left < 48) return false;
          return button.contains(document.elementFromPoint((left + right) / 2, (top + bottom) / 2));
        })
        .map((button) => `${button.closest('.alert')?.textContent}: ${button.textContent}`),
    );

  beforeAll(async () => {
    house = await PageHouse.open();
    page = await house.visit('', viewport);
    await page.getByText(/^live$/).waitFor(patient);
  });
  afterAll(() => house?.close());

  it('an alarm raised meanwhile stands there with its words and its hands, on every screen', async () => {
    for (const screen of screens) {
      await go(screen);
      await toTheEnd();
      node().raise({ id: 'cooling:starboard', priority: 'alarm' });
      const words = /^(?=.*alarm)(?=.*Starboard wet elbow is at)(?=.*not acknowledged).*: Acknowledge$/s;
      const seen = expect.stringMatching(words);
      await expect.poll(inView, { ...patient, message: `${screen}, as it was` }).toContainEqual(seen);
      // The alarm makes the page longer, so that there is more to scroll.
      await toTheEnd();
      await expect.poll(inView, { ...patient, message: `${screen}, at its end` }).toContainEqual(seen);
      if (screen === 'health') await expectAccessible(page);
      await shoot(page, `in-view-${screen}-${viewport.width}`);
      node().clear();
      await page
        .locator('.alert')
        .first()
        .waitFor({ ...patient, state: 'detached' });
    }
  });

  it('it is acknowledged from there, stays in view while it stands, and its words lead to the whole alert', async () => {
    await go('health');
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    await page.getByRole('article', { name: /^alarm/ }).waitFor(patient);
    await toTheEnd();
    const strip = page.getByRole('complementary', { name: 'In short' });
    await strip.getByRole('button', { name: 'Acknowledge', exact: true }).click(patient);
    await strip.getByText('acknowledged, still standing').waitFor(patient);
    expect(node().commands.at(-1)).toEqual({ do: 'acknowledge', alertId: 'cooling:starboard' });
    await strip.getByRole('button', { name: /Starboard wet elbow is at/ }).click(patient);
    await expect.poll(scrolled, patient).toBe(0);
    await strip.waitFor({ ...patient, state: 'detached' });
    node().clear();
  });

  it('another screen begins at its top', async () => {
    await downHealth();
    await go('now');
    await expect.poll(scrolled, patient).toBe(0);
  });

  it('a host that fell silent is told there too', async () => {
    await downHealth();
    await house.stopHost();
    const strip = page.getByRole('complementary', { name: 'In short' });
    await strip.getByText(/host not heard for/).waitFor(patient);
    await shoot(page, `in-view-silent-${viewport.width}`);
  });
});
