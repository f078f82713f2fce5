import type { EngineNow, ProbeNow } from '../../serve/now.js';
import { isShared } from '../link/engines.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { placeName } from '../look/words.js';
import { ProbeStation } from './probe-station.js';

/** Our own rule for "equal load": exhaust gases within this of each other and none changing fast. */
const equalWithinC = 20;
const settledCPerS = 0.3;

export type Load = 'equal' | 'unequal' | 'changing' | 'unknown';

/** Whether the engines carry about the same load now, judged by their exhaust gas. */
export const loadOf = (probes: readonly ProbeNow[], engines: readonly Pick<EngineNow, 'id'>[]): Load => {
  const gas = engines.map(({ id }) =>
    probes.find((p) => p.engine === id && p.place === 'dry-exhaust' && p.quality === 'good'),
  );
  const degreesC = gas.map((probe) => probe?.temperatureC ?? Number.NaN);
  if (degreesC.some(Number.isNaN)) return 'unknown';
  if (gas.some((probe) => Math.abs(probe?.riseCPerS ?? 0) > settledCPerS)) return 'changing';
  return Math.max(...degreesC) - Math.min(...degreesC) <= equalWithinC ? 'equal' : 'unequal';
};

const loadWords: Readonly<Record<Load, string>> = {
  equal: 'at equal load',
  unequal: 'loads differ: compare with care',
  changing: 'load is changing',
  unknown: 'load not known: needs exhaust gas on each',
};

type Props = { readonly engines: readonly EngineNow[]; readonly probes: readonly ProbeNow[] };

/** Engines that are alike, by the kit: only these say something about one another. */
export const alikeGroups = (engines: readonly EngineNow[]): readonly (readonly EngineNow[])[] => {
  const groups: EngineNow[][] = [];
  for (const engine of engines) {
    const group = groups.find(([first]) => first?.alike.includes(engine.id));
    if (group) group.push(engine);
    else groups.push([engine]);
  }
  return groups.filter(({ length }) => length > 1);
};

/** What the engines share, and how far one is from another. */
export const Compare = ({ engines, probes }: Props) => {
  const shared = probes.filter((probe) => isShared(probe.engine));
  return (
    <section class="compare" aria-label="Shared probes and comparison">
      <ul>
        {shared.map((probe) => (
          <ProbeStation key={probe.id} probe={probe} />
        ))}
      </ul>
      {alikeGroups(engines).map((alike) => (
        <div key={alike.map(({ id }) => id).join()} class="difference">
          <h3>{alike.map(({ name }) => name).join(', ')} compared</h3>
          {['wet-elbow', 'dry-exhaust'].map((place) => (
            <p key={place}>
              {placeName(place)}: <b>{differenceText(place, probes, alike)}</b>
            </p>
          ))}
          <p class="quiet">{loadWords[loadOf(probes, alike)]}</p>
        </div>
      ))}
    </section>
  );
};

/** Which engine is the warmest there, and by how much above the coolest. */
export const differenceText = (
  place: string,
  probes: readonly ProbeNow[],
  engines: readonly Pick<EngineNow, 'id' | 'name'>[],
): string => {
  const seen = engines.flatMap(({ id, name }) => {
    const probe = probes.find((p) => p.engine === id && p.place === place && p.quality === 'good');
    return probe?.temperatureC === undefined ? [] : [{ name, temperatureC: probe.temperatureC }];
  });
  if (seen.length < engines.length) return 'not known';
  const sorted = seen.sort((a, b) => b.temperatureC - a.temperatureC);
  const byC = (sorted[0]?.temperatureC ?? 0) - (sorted.at(-1)?.temperatureC ?? 0);
  if (byC < 0.5) return 'the same';
  const than = engines.length > 2 ? ` than ${sorted.at(-1)?.name}` : '';
  return `${sorted[0]?.name} ${spanDegrees(byC, place === 'wet-elbow' ? 1 : 0)} ${unitSign()} warmer${than}`;
};
