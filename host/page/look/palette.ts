import { effect } from '@preact/signals';
import { remembered } from './remembered.js';

/** Day: dark ink on paper, for sunlight. Night: dim amber on black, no blue, for eyes that must see the sea. */
export const palette = remembered('palette', ['day', 'night'] as const, 'day');

export const startPalette = (): void => {
  effect(() => {
    document.documentElement.dataset.palette = palette.value;
  });
};

/** The value of a colour token at this moment, for what is drawn on a canvas. */
export const ink = (token: string): string =>
  getComputedStyle(document.documentElement).getPropertyValue(token).trim();
