import { isGasPlace } from '../look/words.js';

export type Panel = { readonly id: string; readonly title: string; readonly has: (place: string) => boolean };

/** Water and gas never share a pair of axes. */
export const panels: readonly Panel[] = [
  { id: 'water', title: 'Water side', has: (place) => !isGasPlace(place) },
  { id: 'gas', title: 'Exhaust gas', has: isGasPlace },
];
