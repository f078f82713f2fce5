import type { ProbeNow } from '../../serve/now.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { placeName } from '../look/words.js';
import { ProbeStation } from './probe-station.js';

/** Our own rule for "matched load": both exhaust gases within this of each other and neither changing fast. */
const matchedWithinC = 20;
const settledCPerS = 0.3;

export type Match = 'matched' | 'unequal' | 'changing' | 'unknown';

/** Whether the two engines carry about the same load now, judged by their exhaust gas. */
export const loadMatch = (probes: readonly ProbeNow[]): Match => {
  const gas = (engine: string) =>
    probes.find((p) => p.engine === engine && p.place === 'dry-exhaust' && p.quality === 'good');
  const port = gas('port');
  const starboard = gas('starboard');
  if (port?.temperatureC === undefined || starboard?.temperatureC === undefined) return 'unknown';
  if (Math.abs(port.riseCPerS ?? 0) > settledCPerS || Math.abs(starboard.riseCPerS ?? 0) > settledCPerS)
    return 'changing';
  return Math.abs(port.temperatureC - starboard.temperatureC) <= matchedWithinC ? 'matched' : 'unequal';
};

const matchWords: Readonly<Record<Match, string>> = {
  matched: 'at matched load',
  unequal: 'loads differ: compare with care',
  changing: 'load is changing',
  unknown: 'load not known: needs exhaust gas on both',
};

/** The keel: how far one engine stands from the other, and what they share. */
export const Between = ({ probes }: { readonly probes: readonly ProbeNow[] }) => {
  const match = loadMatch(probes);
  const shared = probes.filter((probe) => probe.engine === 'both');
  return (
    <section class="between" aria-label="Between the engines">
      <header>
        <h2>Port against starboard</h2>
        <p>{matchWords[match]}</p>
      </header>
      <Difference probes={probes} place="dry-exhaust" fullC={60} />
      <Difference probes={probes} place="wet-elbow" fullC={12} />
      <ul class="shared">
        {shared.map((probe) => (
          <ProbeStation key={probe.id} probe={probe} />
        ))}
      </ul>
    </section>
  );
};

type DifferenceProps = {
  readonly probes: readonly ProbeNow[];
  readonly place: string;
  readonly fullC: number;
};

/** A line that leans to the warmer side; level when the twins agree. */
const Difference = ({ probes, place, fullC }: DifferenceProps) => {
  const of = (engine: string) => probes.find((p) => p.engine === engine && p.place === place);
  const port = of('port');
  const starboard = of('starboard');
  if (!port || !starboard) return null;
  const known = port.quality === 'good' && starboard.quality === 'good';
  const byC = known ? (starboard.temperatureC ?? 0) - (port.temperatureC ?? 0) : undefined;
  const share = byC === undefined ? 0 : Math.max(-1, Math.min(1, byC / fullC));
  const text =
    byC === undefined
      ? 'not known'
      : Math.abs(byC) < 0.5
        ? 'alike'
        : `${byC < 0 ? 'port' : 'starboard'} ${spanDegrees(Math.abs(byC), place === 'wet-elbow' ? 1 : 0)} ${unitSign()} warmer`;
  return (
    <div class={`difference${byC === undefined ? ' unknown' : ''}`}>
      <h3>{placeName(place)}</h3>
      <div class="beam" aria-hidden="true">
        <i
          style={{ '--share': Math.abs(share), '--side': share < 0 ? -1 : 1 }}
          class={share < 0 ? 'to-port' : 'to-starboard'}
        />
      </div>
      <p>{text}</p>
    </div>
  );
};
