import { engineIndex, engineName, isShared } from '../look/engines.js';
import { placeName } from '../look/words.js';
import { dashOf, tokenOf } from './line-code.js';

type Keyed = { readonly engine: string; readonly place: string };

/** A short piece of the line itself. */
export const LineSample = ({ engine, place }: Keyed) => {
  const index = engineIndex(engine);
  return (
    <svg class="sample" viewBox="0 0 36 8" aria-hidden="true">
      <path
        d="M0 4H36"
        style={{ stroke: `var(${tokenOf(index, place)})` }}
        stroke-width={index < 0 ? 2 : 3}
        stroke-dasharray={dashOf(index).join(' ')}
      />
    </svg>
  );
};

/** `Port wet elbow`, `Sea water`. */
export const lineName = ({ engine, place }: Keyed): string =>
  isShared(engine) ? placeName(place) : `${engineName(engine)} ${placeName(place).toLowerCase()}`;

/** Which line is which, in the lines themselves. */
export const Key = ({ probes }: { readonly probes: readonly (Keyed & { readonly id: string })[] }) => (
  <ul class="key">
    {probes.map((probe) => (
      <li key={probe.id}>
        <LineSample {...probe} />
        {lineName(probe)}
      </li>
    ))}
  </ul>
);
