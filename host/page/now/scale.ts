import type { ProbeNow } from '../../serve/now.js';
import { isGasPlace } from '../look/words.js';

/** Degrees Celsius a bar shows when no probe of its kind has a limit. */
const usualC: Readonly<Record<string, number>> = { 'sea-water': 40, 'wet-elbow': 110, 'engine-room': 80 };

/**
 * One scale for all probes of one kind, from 0 C to a little past the highest limit or reading, so that the hotter
 * engine always has the longer bar.
 */
export const scaleToC = (
  place: string,
  probes: readonly Pick<ProbeNow, 'place' | 'limits' | 'temperatureC'>[],
): number => {
  const alike = probes.filter((probe) => probe.place === place);
  const limits = alike.flatMap(({ limits: { alarm, warning } }) => [
    alarm?.raiseAtC ?? 0,
    warning?.raiseAtC ?? 0,
  ]);
  const highest = Math.max(0, ...limits);
  const usual = isGasPlace(place) ? 700 : (usualC[place] ?? 110);
  return Math.max((highest || usual) * 1.06, ...alike.map(({ temperatureC = 0 }) => temperatureC * 1.02));
};

/** Position along the bar in percent, kept inside it. */
export const along = (temperatureC: number, toC: number): number =>
  Math.min(100, Math.max(0, (temperatureC / toC) * 100));
