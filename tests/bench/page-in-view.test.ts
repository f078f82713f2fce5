import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PageHouse, patient, shoot } from './page/page-house.js';

const screens = ['now', 'history', 'health', 'calibrate', 'set-up'] as const;
const sizes = [
  { width: 1280, height: 800 },
  { width: 1024, height: 600 },
  { width: 800, height: 480 },
  { width: 1920, height: 1080 },
  { width: 390, height: 844 },
] as const;

describe('wherever a page is scrolled', () => {
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
  /** The entries of the strip that can be seen whole and pressed where the page is now. */
  const inView = () =>
    page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('.alarm-strip button')]
        .filter((button) => {
          const { left, top, right, bottom } = button.getBoundingClientRect();
          if (top < 0 || left < 0 || bottom > innerHeight || right > innerWidth) return false;
          if (bottom - top < 48 || right - left < 48) return false;
          return button.contains(document.elementFromPoint((left + right) / 2, (top + bottom) / 2));
        })
        .map((button) => button.innerText.replace(/\s+/g, ' ')),
    );

  beforeAll(async () => {
    house = await PageHouse.open();
    page = await house.visit();
    await page.getByText('Live', { exact: true }).waitFor(patient);
    node().temperatures['starboard-elbow'] = 101;
    node().temperatures['port-elbow'] = 81;
    for (const figure of ['81', '101'])
      await page.locator('.engine .room.calm .figure', { hasText: figure }).waitFor(patient);
  });
  afterAll(() => house?.close());

  it.each(sizes)(
    'both alarms are in view on every screen, the worse first, at $width x $height',
    async (size) => {
      await page.setViewportSize(size);
      for (const screen of screens) {
        await go(screen);
        await toTheEnd();
        // The worse one is the older one: what comes first is not what came last.
        node().raise({ id: 'cooling:starboard', priority: 'alarm' });
        node().raise({ id: 'cooling:port', priority: 'alarm', engine: 'port', probe: 'port-elbow' });
        const both = [expect.stringMatching(/^ST\w+ 101°$/), 'PORT 81°'];
        await expect.poll(inView, { ...patient, message: `${screen}, as it was` }).toEqual(both);
        // The alarms make the page longer, so that there is more to scroll.
        await toTheEnd();
        await expect.poll(inView, { ...patient, message: `${screen}, at its end` }).toEqual(both);
        await shoot(page, `in-view-${screen}-${size.width}`);
        node().clear();
        await page.locator('.alarm-strip').waitFor({ ...patient, state: 'detached' });
      }
    },
  );

  it('each entry leads to its own card, where it is acknowledged; it stays in the strip while it is active', async () => {
    await page.setViewportSize({ width: 800, height: 480 });
    await go('health');
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    node().raise({ id: 'cooling:port', priority: 'alarm', engine: 'port', probe: 'port-elbow' });
    const strip = page.getByRole('navigation', { name: 'Active alerts' });
    await strip.getByRole('button', { name: /^port/i }).click(patient);
    const focused = page.locator('article:focus');
    await expect.poll(() => focused.getAttribute('aria-label'), patient).toMatch(/^alarm: Port/);
    const whole = await focused.locator('.order').boundingBox();
    expect(whole && whole.y > 0 && whole.y + whole.height < 480).toBe(true);
    await focused.getByRole('button', { name: 'Acknowledge' }).click(patient);
    await page.locator('.card.acknowledged').waitFor(patient);
    expect(node().commands.at(-1)).toEqual({ do: 'acknowledge', alertId: 'cooling:port' });
    expect(await strip.getByRole('button').count()).toBe(2);
    node().clear();
  });

  it('another screen begins at its top', async () => {
    await go('health');
    await expect.poll(() => toTheEnd().then(scrolled), patient).toBeGreaterThan(100);
    await go('now');
    await expect.poll(scrolled, patient).toBe(0);
  });

  it('lost contact with the host is there too', async () => {
    await go('health');
    await expect.poll(() => toTheEnd().then(scrolled), patient).toBeGreaterThan(100);
    await house.stopHost();
    const band = page.getByRole('region', { name: 'No data' });
    await band.waitFor(patient);
    const box = await band.boundingBox();
    expect(box && box.y >= 0 && box.y < 10 && box.width >= 800).toBe(true);
    await shoot(page, 'in-view-silent');
  });
});
