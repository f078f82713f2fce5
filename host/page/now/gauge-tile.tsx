import type { ProbeNow } from '../../serve/now.js';
import { readerOf } from '../look/quantity.js';
import { missingShort, missingWords, placeName } from '../look/words.js';

/** A pressure or a speed beside the temperatures: one figure, small, and the reason where there is none. */
export const GaugeTile = ({ probe }: { readonly probe: ProbeNow }) => {
  const quantity = probe.quantity ?? 'temperature';
  const value = quantity === 'pressure' ? probe.pressureKpa : probe.speedRpm;
  const reader = readerOf(quantity);
  const known = probe.quality === 'good' && value !== undefined;
  return (
    <li class={`gauge ${known ? quantity : 'missing'}`}>
      <h3 title={probe.name}>{placeName(probe.place)}</h3>
      <p>
        {known ? (
          <>
            {value.toFixed(reader.digits).replace('-', '−')}
            <small>{reader.sign()}</small>
          </>
        ) : (
          <span title={probe.quality === 'good' ? '' : missingWords[probe.quality]}>
            {probe.quality === 'good' ? '' : missingShort[probe.quality]}
          </span>
        )}
      </p>
    </li>
  );
};
