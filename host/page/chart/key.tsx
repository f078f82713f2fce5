import type { LineCode } from '../../drawing/line-code.js';
import { engineName, isShared } from '../link/engines.js';
import { placeName } from '../look/words.js';
import { lineCode } from './line-code.js';

type Keyed = { readonly engine: string; readonly place: string };

/** A short piece of the line itself. */
export const LineSample = ({ engine, place }: Keyed) => <CodeSample code={lineCode(engine, place)} />;

export const CodeSample = ({ code: { token, dash, width } }: { readonly code: LineCode }) => (
  <svg class="sample" viewBox="0 0 36 8" aria-hidden="true">
    <path
      d="M0 4H36"
      style={{ stroke: `var(${token})` }}
      stroke-width={width}
      stroke-dasharray={dash.join(' ')}
    />
  </svg>
);

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
