import type { Quantity } from '../reading/quantity.js';

/** Where a probe sits. `sea-water` and `engine-room` belong to all engines. */
export const places = [
  'wet-elbow',
  'dry-exhaust',
  'before-turbo',
  'sea-water',
  'engine-room',
  /** In the raw-water hose between the pump and what it feeds. */
  'raw-water-pressure',
  /** The crankshaft, by the alternator's pulses. */
  'engine-speed',
] as const;
export type Place = (typeof places)[number];

/** What is measured at each place. */
export const quantityAt: Readonly<Record<Place, Quantity>> = {
  'wet-elbow': 'temperature',
  'dry-exhaust': 'temperature',
  'before-turbo': 'temperature',
  'sea-water': 'temperature',
  'engine-room': 'temperature',
  'raw-water-pressure': 'pressure',
  'engine-speed': 'speed',
};
