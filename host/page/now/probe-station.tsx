import type { ProbeNow } from '../../serve/now.js';
import { placeOf } from '../link/place-of.js';
import { Arrow, type Trend } from '../look/arrow.js';
import { degrees, degreesText, spanDegrees, unitSign } from '../look/degrees.js';
import { trendOf } from '../look/trend.js';
import { isGasPlace, missingShort, missingWords } from '../look/words.js';
import { Rail } from './rail.js';

type Props = { readonly probe: ProbeNow; readonly toC?: number };

/** A probe at its place: degrees, which way, its bar. Says why when there is no reading. */
export const ProbeStation = ({ probe, toC }: Props) => {
  const trend = trendOf(probe);
  const gas = isGasPlace(probe.place);
  const known = probe.quality === 'good' && probe.temperatureC !== undefined;
  return (
    <li class={`station ${known ? trend : 'missing'} ${gas ? 'gas' : 'wet'}`}>
      <h3 title={probe.name}>{placeOf(probe)}</h3>
      <p class="degrees">
        {known ? (
          <>
            {degrees(probe.temperatureC ?? 0, gas ? 0 : 1)}
            <small>{unitSign()}</small>
            <Arrow trend={trend} />
          </>
        ) : (
          <>
            –– <small>{probe.quality !== 'good' && missingShort[probe.quality]}</small>
          </>
        )}
      </p>
      {toC !== undefined && <Rail probe={probe} toC={toC} />}
      <p class="said">{said(probe, trend)}</p>
    </li>
  );
};

const said = (probe: ProbeNow, trend: Trend): string => {
  if (probe.quality !== 'good') {
    const old = probe.quality === 'stale' || probe.quality === 'no-contact';
    const last = old && probe.temperatureC !== undefined ? `, last ${degreesText(probe.temperatureC)}` : '';
    return missingWords[probe.quality] + last;
  }
  if (trend === 'unknown' || probe.riseCPerS === undefined) return '';
  if (trend === 'steady') return 'steady';
  return `${trend} ${spanDegrees(Math.abs(probe.riseCPerS) * 60)} ${unitSign()}/min`;
};
