import { steadyCPerS } from '../../live/room.js';
import type { ProbeNow } from '../../serve/now.js';
import type { Trend } from './arrow.js';

/** Which way, by the same threshold that the host's seconds use. */
export const trendOf = ({ riseCPerS: rise, place }: Pick<ProbeNow, 'riseCPerS' | 'place'>): Trend => {
  if (rise === undefined) return 'unknown';
  return Math.abs(rise) <= steadyCPerS(place) ? 'steady' : rise > 0 ? 'rising' : 'falling';
};
