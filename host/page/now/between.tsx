import type { EngineNow, ProbeNow } from '../../serve/now.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { isShared } from '../look/engines.js';
import { placeName } from '../look/words.js';
import { ProbeStation } from './probe-station.js';

/** Our own rule for "matched load": both exhaust gases within this of each other and neither changing fast. */
const matchedWithinC = 20;
const settledCPerS = 0.3;

/** Two engines that are alike. */
export type Pair = readonly [EngineNow, EngineNow];

export const pairs = (engines: readonly EngineNow[]): readonly Pair[] =>
  engines.flatMap((one, i) =>
    engines.slice(i + 1).flatMap((other): Pair[] => (one.alike.includes(other.id) ? [[one, other]] : [])),
  );

export type Match = 'matched' | 'unequal' | 'changing' | 'unknown';

/** Whether the two engines carry about the same load now, judged by their exhaust gas. */
export const loadMatch = (probes: readonly ProbeNow[], [one, other]: Pair): Match => {
  const gas = (engine: EngineNow) =>
    probes.find((p) => p.engine === engine.id && p.place === 'dry-exhaust' && p.quality === 'good');
  const first = gas(one);
  const second = gas(other);
  if (first?.temperatureC === undefined || second?.temperatureC === undefined) return 'unknown';
  if (Math.abs(first.riseCPerS ?? 0) > settledCPerS || Math.abs(second.riseCPerS ?? 0) > settledCPerS)
    return 'changing';
  return Math.abs(first.temperatureC - second.temperatureC) <= matchedWithinC ? 'matched' : 'unequal';
};

const matchWords: Readonly<Record<Match, string>> = {
  matched: 'at matched load',
  unequal: 'loads differ: compare with care',
  changing: 'load is changing',
  unknown: 'load not known: needs exhaust gas on both',
};

type BetweenProps = { readonly probes: readonly ProbeNow[]; readonly engines: readonly EngineNow[] };

/** The keel: how far engines that are alike stand from each other, and what all share. */
export const Between = ({ probes, engines }: BetweenProps) => {
  const shared = probes.filter((probe) => isShared(probe.engine));
  return (
    <section class="between" aria-label={engines.length > 1 ? 'Between the engines' : 'Around the engine'}>
      {pairs(engines).map((pair) => (
        <Compared key={`${pair[0].id} ${pair[1].id}`} probes={probes} pair={pair} />
      ))}
      <ul class="shared">
        {shared.map((probe) => (
          <ProbeStation key={probe.id} probe={probe} />
        ))}
      </ul>
    </section>
  );
};

const Compared = ({ probes, pair }: { readonly probes: readonly ProbeNow[]; readonly pair: Pair }) => (
  <>
    <header>
      <h2>
        {pair[0].name} against {pair[1].name.toLowerCase()}
      </h2>
      <p>{matchWords[loadMatch(probes, pair)]}</p>
    </header>
    <Difference probes={probes} pair={pair} place="dry-exhaust" fullC={60} />
    <Difference probes={probes} pair={pair} place="wet-elbow" fullC={12} />
  </>
);

type DifferenceProps = {
  readonly pair: Pair;
  readonly probes: readonly ProbeNow[];
  readonly place: string;
  readonly fullC: number;
};

/** A line that leans to the warmer side; level when the twins agree. */
const Difference = ({ probes, pair: [one, other], place, fullC }: DifferenceProps) => {
  const of = (engine: EngineNow) => probes.find((p) => p.engine === engine.id && p.place === place);
  const first = of(one);
  const second = of(other);
  if (!first || !second) return null;
  const known = first.quality === 'good' && second.quality === 'good';
  const byC = known ? (second.temperatureC ?? 0) - (first.temperatureC ?? 0) : undefined;
  const share = byC === undefined ? 0 : Math.max(-1, Math.min(1, byC / fullC));
  const text =
    byC === undefined
      ? 'not known'
      : Math.abs(byC) < 0.5
        ? 'alike'
        : `${(byC < 0 ? one : other).name.toLowerCase()} ${spanDegrees(Math.abs(byC), place === 'wet-elbow' ? 1 : 0)} ${unitSign()} warmer`;
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
