import type { Page } from 'playwright-core';

/** Screens that boats have, a tablet upright, and the narrowest phone. */
const sizes = [
  [1280, 800],
  [1024, 600],
  [800, 480],
  [1920, 1080],
  [800, 1280],
  [390, 844],
  [360, 640],
] as const;
/**
 * A zoomed page is laid out in a window of this many times fewer pixels: those widths, at 200 and at 400 %, that differ from
 * the others by more than a few pixels. The narrowest is the narrowest phone at 200 %; at 400 % a phone is magnified by
 * its pinch, which lays nothing out.
 */
const zoomed = [
  [960, 540],
  [640, 400],
  [512, 300],
  [480, 270],
  [320, 200],
  [256, 150],
  [180, 320],
] as const;
const windows = [...sizes, ...zoomed];
/** The shipped font by day, and by night one of the widest that a machine may put in its place. */
const looks = [
  { palette: 'day', font: '' },
  { palette: 'night', font: '"DejaVu Sans"' },
] as const;

/** What is wrong with the layout of the page as it is, in every window, by day and by night, in two fonts. */
export const troublesEverywhere = async (
  page: Page,
): Promise<Readonly<Record<string, readonly string[]>>> => {
  const found: Record<string, readonly string[]> = {};
  for (const { palette, font } of looks) {
    await page.evaluate(
      async ([colours, family]) => {
        document.documentElement.dataset.palette = colours;
        document.documentElement.style.fontFamily = family;
        await document.fonts.ready;
      },
      [palette, font] as const,
    );
    for (const [width, height] of windows) {
      await page.setViewportSize({ width, height });
      await page.evaluate(() => scrollTo(0, 0));
      // What is drawn to its own width is drawn again in the frame after.
      await page.evaluate(
        () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
      );
      const troubles = await layoutTroubles(page);
      if (troubles.length > 0) found[`${width} x ${height} by ${palette}`] = troubles.slice(0, 6);
    }
  }
  await page.evaluate(() => {
    document.documentElement.style.fontFamily = '';
    document.documentElement.dataset.palette = 'day';
  });
  await page.setViewportSize({ width: 1280, height: 800 });
  return found;
};

/**
 * What is wrong with the layout of the page as it is: texts that lie on one another, texts that leave the screen or
 * are cut off by what holds them, a page wider than its window. Empty when all is well.
 */
export const layoutTroubles = (page: Page): Promise<readonly string[]> =>
  page.evaluate(() => {
    type Text = { readonly what: string; readonly node: Node; readonly box: DOMRect };
    const troubles: string[] = [];
    const { clientWidth, scrollWidth } = document.documentElement;
    if (scrollWidth > clientWidth) troubles.push(`the page is ${scrollWidth} px wide in ${clientWidth}`);
    const texts: Text[] = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const element = node.parentElement;
      const what = node.textContent?.trim().slice(0, 30) ?? '';
      if (!element || !what || element.closest('.unseen, .skip, noscript, option, textarea')) continue;
      if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const scrolls = scroller(element);
      for (const whole of range.getClientRects()) {
        if (whole.width < 1 || whole.height < 1) continue;
        // Of a line box only the part from the top of a capital to the baseline holds ink.
        const box = new DOMRect(whole.x, whole.y + 0.2 * whole.height, whole.width, 0.58 * whole.height);
        if (scrolls && !inside(box, scrolls.getBoundingClientRect())) continue;
        texts.push({ what, node, box });
        if (!scrolls && (box.left < -1 || box.right > clientWidth + 1))
          troubles.push(`"${what}" leaves the screen`);
        const holder = cutter(element);
        if (holder && !scrolls && !inside(box, holder.getBoundingClientRect()))
          troubles.push(`"${what}" is cut off by ${holder.className || holder.tagName}`);
      }
    }
    for (const [i, one] of texts.entries())
      for (const other of texts.slice(i + 1)) {
        if (one.node === other.node) continue;
        const wide = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
        const high = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
        if (wide > 1 && high > 1) troubles.push(`"${one.what}" overlaps "${other.what}"`);
      }
    return [...new Set(troubles)];

    function inside(box: DOMRect, holder: DOMRect): boolean {
      return (
        box.left >= holder.left - 1 &&
        box.right <= holder.right + 1 &&
        box.top >= holder.top - 1 &&
        box.bottom <= holder.bottom + 1
      );
    }
    /** What can be scrolled to the rest. */
    function scroller(element: Element): Element | null {
      for (let at: Element | null = element; at && at !== document.body; at = at.parentElement)
        if (/auto|scroll/.test(getComputedStyle(at).overflow)) return at;
      return null;
    }
    function cutter(element: Element): Element | null {
      for (let at: Element | null = element; at && at !== document.body; at = at.parentElement)
        if (/hidden|clip/.test(getComputedStyle(at).overflow)) return at;
      return null;
    }
  });
