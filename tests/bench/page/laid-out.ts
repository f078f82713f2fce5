import type { Page } from 'playwright-core';
import { expect } from 'vitest';

/** Every piece of text that is cut off, leaves the screen at a side, or lies on another. Runs in the page. */
const faultsOfLayout = (): string[] => {
  type Piece = { readonly text: string; readonly element: Element; readonly box: DOMRect };
  const pieces: Piece[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const [text, element] = [node.textContent?.trim() ?? '', node.parentElement];
    // Words for a screen reader alone, and a text area, which scrolls by itself.
    if (text === '' || !element?.checkVisibility({ visibilityProperty: true })) continue;
    if (element.closest('.unseen, .skip, textarea, select, noscript')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    // A drawing lets go of what lies outside it.
    const drawing = element.closest('svg')?.getBoundingClientRect();
    for (const box of range.getClientRects())
      if (box.width > 0 && !(drawing && (box.right < drawing.left || box.left > drawing.right)))
        pieces.push({ text, element, box });
  }
  const named = ({ text, element }: Piece) =>
    `"${text.slice(0, 40)}" in ${element.tagName}.${element.closest('[class]')?.getAttribute('class')}`;
  const faults: string[] = [];
  /** The nearest ancestor that holds back what is wider than itself. */
  const holderOf = (element: Element | null): Element | undefined => {
    for (let at = element; at && at !== document.body; at = at.parentElement)
      if (getComputedStyle(at).overflowX !== 'visible' && !(at instanceof SVGElement)) return at;
    return undefined;
  };
  const isPinned = (element: Element | null): boolean => {
    for (let at = element; at; at = at.parentElement)
      if (/fixed|sticky/.test(getComputedStyle(at).position)) return true;
    return false;
  };
  for (const piece of pieces) {
    const holder = holderOf(piece.element);
    const style = holder && getComputedStyle(holder);
    if (style && /auto|scroll/.test(style.overflowX)) continue;
    const edges = holder?.getBoundingClientRect() ?? { left: 0, right: document.documentElement.clientWidth };
    if (piece.box.left < edges.left - 1.5 || piece.box.right > edges.right + 1.5)
      faults.push(
        `${holder ? 'cut off' : 'off the screen'}: ${named(piece)}, ${piece.box.left.toFixed(0)} to ${piece.box.right.toFixed(0)} px`,
      );
  }
  // Lines may share the room above and below their letters, so only the middle of each is held against the others.
  const flowing = pieces.filter(({ element }) => !isPinned(element));
  const middle = ({ top, height }: DOMRect) => ({ from: top + 0.25 * height, to: top + 0.75 * height });
  for (const [index, one] of flowing.entries())
    for (const other of flowing.slice(index + 1)) {
      const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      if (across < 2) continue;
      const [a, b] = [middle(one.box), middle(other.box)];
      if (Math.min(a.to, b.to) - Math.max(a.from, b.from) > 0)
        faults.push(`${named(one)} lies on ${named(other)}`);
    }
  return faults;
};

/** Nothing is cut off, leaves the screen or lies on another, as the page is now. */
export const expectLaidOut = async (page: Page, where: string): Promise<void> => {
  expect(await page.evaluate(faultsOfLayout), where).toEqual([]);
};
