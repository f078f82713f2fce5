import { steadyCPerS } from '../../live/room.js';
import type { ProbeNow } from '../../serve/now.js';
import { degrees, degreesText, spanDegrees, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';
import { missingShort, missingWords, placeName } from '../look/words.js';
import { Rail } from './rail.js';

/** Which way, by the same threshold the host judges room with. */
export const trendOf = ({
  riseCPerS: rise,
  place,
}: Pick<ProbeNow, 'riseCPerS' | 'place'>): 'rising' | 'falling' | 'steady' | 'unknown' => {
  if (rise === undefined) return 'unknown';
  return Math.abs(rise) <= steadyCPerS(place) ? 'steady' : rise > 0 ? 'rising' : 'falling';
};

/** Drawn, not written: fonts differ in which arrows they have and how wide these are. */
const arrows = { rising: 'M5 1 9.5 9h-9z', falling: 'M5 9 .5 1h9z' } as const;

/** A probe at its place: degrees, which way, how much room, and the rail. Says why when there is no reading. */
export const ProbeStation = ({ probe }: { readonly probe: ProbeNow }) => {
  const trend = trendOf(probe);
  const gas = probe.place === 'dry-exhaust' || probe.place === 'before-turbo';
  return (
    <li class={`station ${probe.quality === 'good' ? trend : 'missing'} ${gas ? 'gas' : 'wet'}`}>
      <h3 title={probe.name}>{placeName(probe.place)}</h3>
      {probe.quality === 'good' && probe.temperatureC !== undefined ? (
        <p class="degrees">
          <span>
            {degrees(probe.temperatureC, gas ? 0 : 1)}
            <small>{unitSign()}</small>
          </span>
          {(trend === 'rising' || trend === 'falling') && (
            <svg class="way" viewBox="0 0 10 10" aria-hidden="true">
              <path d={arrows[trend]} />
            </svg>
          )}
        </p>
      ) : (
        <p class="degrees none">
          <span>{probe.quality === 'good' ? '' : missingShort[probe.quality]}</span>
        </p>
      )}
      <Rail probe={probe} />
      <p class="said">{said(probe, trend)}</p>
    </li>
  );
};

const said = (probe: ProbeNow, trend: string): string => {
  if (probe.quality !== 'good') {
    const last =
      probe.quality === 'stale' && probe.temperatureC !== undefined
        ? ` (last ${degreesText(probe.temperatureC)})`
        : '';
    return missingWords[probe.quality] + last;
  }
  const rate =
    trend === 'steady' || trend === 'unknown' || probe.riseCPerS === undefined
      ? trend === 'steady'
        ? 'steady'
        : ''
      : `${trend} ${spanDegrees(Math.abs(probe.riseCPerS) * 60)} ${unitSign()}/min`;
  if (probe.roomC === undefined) return rate || 'no setpoint';
  const room =
    probe.roomC > 0
      ? `${spanDegrees(probe.roomC)} ${unitSign()} of room${probe.roomS !== undefined ? `, ${spanText(probe.roomS)} left` : ''}`
      : `past the ${probe.roomTo} setpoint by ${spanDegrees(-probe.roomC)} ${unitSign()}`;
  return rate ? `${room}, ${rate}` : room;
};
