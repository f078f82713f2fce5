import { effect, signal } from '@preact/signals';
import { remembered } from './remembered.js';

/** Day: dark ink on paper, for sunlight. Night: dim amber on black, no blue, which would spoil night vision. */
const choice = remembered('palette', ['day', 'night', 'system'] as const, 'system');
const dark = globalThis.matchMedia?.('(prefers-color-scheme: dark)');
const darkNow = signal(dark?.matches ?? false);

/** What holds: the choice of this browser, and until there is one that of the machine. */
export const palette = {
  get value(): 'day' | 'night' {
    if (choice.value !== 'system') return choice.value;
    return darkNow.value ? 'night' : 'day';
  },
  set value(chosen: 'day' | 'night') {
    choice.value = chosen;
  },
};

/** How large everything is. */
export const size = remembered('size', ['1', '1.25', '1.5'] as const, '1');

/** `public/first-paint.js` has set both before anything was painted; this follows what is chosen since. */
export const startPalette = (): void => {
  dark?.addEventListener('change', () => {
    darkNow.value = dark?.matches ?? false;
  });
  effect(() => {
    document.documentElement.dataset.palette = palette.value;
    document.documentElement.dataset.size = size.value;
  });
};

/** The value of a colour token at this moment, for what is drawn on a canvas. */
export const ink = (token: string): string =>
  getComputedStyle(document.documentElement).getPropertyValue(token).trim();
