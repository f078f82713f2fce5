import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PageHouse, patient } from './page/page-house.js';

let house: PageHouse;
beforeAll(async () => {
  house = await PageHouse.open();
});
afterAll(() => house?.close());

/** Where the shipped font does not arrive, a machine may have no better than DejaVu, about 15 % wider. */
const blockFont = async (page: Page): Promise<void> => {
  await page.route(/\.woff2$/, (route) => route.abort());
  await page.route(/\.css$/, async (route) => {
    const response = await route.fetch();
    // Not even by its name: Debian's font configuration answers Arimo with Liberation Sans.
    const stack = /Arimo, ?"?Liberation Sans"?, ?Arial, ?sans-serif/;
    const sheet = await response.text();
    if (!stack.test(sheet))
      throw new Error('The style sheet names the fonts otherwise now: look at ground.css.');
    await route.fulfill({ response, body: sheet.replace(stack, '"DejaVu Sans"') });
  });
};

describe.each(['shipped', 'blocked'] as const)('with the font %s', (font) => {
  let page: Page;
  beforeAll(async () => {
    page = await (await house.context()).newPage();
    if (font === 'blocked') await blockFont(page);
    await page.goto(house.url);
    await page.getByText(/^Live$/).waitFor(patient);
  });
  afterAll(() => page.context().close());

  it('the figures are written in it, every digit of one width', async () => {
    const drawn = await page.evaluate(async () => {
      await document.fonts.ready;
      const widths = [...'0123456789'].map((digit) => {
        const place = document.createElement('span');
        place.textContent = digit.repeat(10);
        document.body.append(place);
        const { width } = place.getBoundingClientRect();
        place.remove();
        return width;
      });
      const size = Number.parseFloat(getComputedStyle(document.body).fontSize);
      return { regular: [...document.fonts].find(({ weight }) => weight === '400')?.status, size, widths };
    });
    if (font === 'shipped') expect(drawn.regular).toBe('loaded');
    // Ten digits: 1139 units of 2048 each in Arimo, 1303 in DejaVu Sans (the fonts' own hmtx tables, from memory).
    const expectedPx = (10 * drawn.size * (font === 'shipped' ? 1139 : 1303)) / 2048;
    // A machine that hints fully rounds each digit to whole pixels: half a pixel each, less than the fonts differ by.
    for (const width of drawn.widths) expect(Math.abs(width - expectedPx)).toBeLessThanOrEqual(5);
    expect(Math.max(...drawn.widths) - Math.min(...drawn.widths)).toBeLessThan(0.01);
  });
});
