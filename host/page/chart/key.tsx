import type { LineCode } from '../../drawing/line-code.js';
import { placed } from '../link/engines.js';
import { placeOf } from '../link/place-of.js';
import { lineCode } from './line-code.js';

type Keyed = Parameters<typeof placeOf>[0];

/** A short piece of the line itself. */
export const LineSample = (probe: Keyed) => <CodeSample code={lineCode(probe)} />;

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
export const lineName = (probe: Keyed): string => placed(probe.engine, placeOf(probe));

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
