import type { ProbeNow } from '../../serve/now.js';

/** The host's qualities, and the page's own: it has no contact to the host. */
export type Seen = ProbeNow['quality'];
type Missing = Exclude<Seen, 'good'>;

const placeNames: Readonly<Record<string, string>> = {
  'wet-elbow': 'Wet elbow',
  'dry-exhaust': 'Exhaust gas',
  'before-turbo': 'Gas before turbo',
  'sea-water': 'Sea water',
  'engine-room': 'Engine room',
  'raw-water-pressure': 'Pump pressure',
  'engine-speed': 'Engine speed',
};
export const placeName = (place: string): string => placeNames[place] ?? place;

/** Why there is no temperature, and the first thing to look at. */
export const missingWords: Readonly<Record<Missing, string>> = {
  open: 'no probe: its circuit is open. Look for a broken wire',
  short: 'shorted: its two wires touch',
  'short-to-supply': 'shorted to the supply',
  'out-of-range': 'outside what the probe can measure',
  'no-answer': 'its amplifier does not answer',
  contradicting: 'its amplifier contradicts itself. Look for two on one address',
  implausible: 'not believable, so not shown',
  reversed: 'far below its own terminals: swap its two wires',
  'cold-junction': 'its amplifier is hotter or colder than can be',
  'canary-astray': 'not trusted: the board misreads the voltage of its test pin',
  stale: 'no new reading',
  'board-away': 'lost contact with the board',
  'no-contact': 'lost contact with the host',
  'no-reading': 'no reading yet',
};

/** One or two words for the place where the figure would be. */
export const missingShort: Readonly<Record<Missing, string>> = {
  open: 'open',
  short: 'short',
  'short-to-supply': 'short',
  'out-of-range': 'off scale',
  'no-answer': 'no answer',
  contradicting: 'doubtful',
  implausible: 'doubtful',
  reversed: 'reversed',
  'cold-junction': 'doubtful',
  'canary-astray': 'doubtful',
  stale: 'no data',
  'board-away': 'no data',
  'no-contact': 'no data',
  'no-reading': 'waiting',
};

export const isGasPlace = (place: string): boolean => place === 'dry-exhaust' || place === 'before-turbo';
