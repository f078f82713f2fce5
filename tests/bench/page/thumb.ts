import type { Page } from 'playwright-core';
import { expect } from 'vitest';

/** No target is smaller than a wet thumb, 48 x 48 px, and nothing is cut off at the side. */
export const expectThumbs = async (page: Page, where: string): Promise<void> => {
  const small = await page.evaluate(() =>
    [...document.querySelectorAll('button, a[href], summary, select, textarea, input')]
      // A tick box is pressed anywhere on its label.
      .map((e) => (e.matches('[type=checkbox]') ? (e.closest('label') ?? e) : e))
      .filter((e) => e.checkVisibility() && !e.matches('.skip'))
      .map((e) => ({ e, box: e.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && (box.height < 48 || box.width < 48))
      .map(
        ({ e, box }) => `${e.tagName} ${e.textContent} ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`,
      ),
  );
  expect(small, where).toEqual([]);
  const wide = await page.evaluate(() => {
    const { clientWidth, scrollWidth } = document.documentElement;
    if (scrollWidth <= clientWidth) return [];
    const beyond = [...document.querySelectorAll('main *')].filter(
      (e) => e.getBoundingClientRect().right > clientWidth && !e.closest('table, svg, pre'),
    );
    return [
      `${scrollWidth} wide`,
      ...beyond.map((e) => `${e.tagName}.${e.className} ${e.textContent?.slice(0, 40)}`),
    ];
  });
  expect(wide, where).toEqual([]);
};
