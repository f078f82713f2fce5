import type { Condition } from '../alerts/condition.js';
import type { Engine } from '../kit/engines.js';
import type { MonotonicMs } from '../time/clock.js';
import { slopeCPerS } from './channel-state.js';
import { believedC, isSettling } from './channel-trust.js';
import { detachedFinding } from './elbow.js';
import { firstProbeState, type ProbeStates } from './probe-state.js';
import type { GuardSettings, ProbeSettings } from './settings.js';

/**
 * Two probes on one elbow, by engine. Either one guards, and the hotter one counts, because each is judged by itself; here
 * is only noticed that they cannot both be right.
 */
export type ElbowPairs = Readonly<Record<Engine, ElbowPair>>;
type ElbowPair = {
  /** How long they have been further apart than they may be, or as close again as they should be, s. */
  readonly apartS: number;
  readonly closeS: number;
  readonly raised: Apart | undefined;
};
export type Apart = {
  readonly hotter: string;
  readonly colder: string;
  readonly apartK: number;
  readonly limitK: number;
  readonly hotterC: number;
  readonly colderC: number;
};

const firstPair: ElbowPair = { apartS: 0, closeS: 0, raised: undefined };

/**
 * What mountings alone may make of one elbow, K. A ring stood -2.0 to +5.5 K from a well on 60 healthy simulated boats
 * (idle to wide open and half an hour after the stop); real ones scatter more. Our choice, no source.
 */
const mountingMayMakeK = { alike: 4, unlike: 8 } as const;
/** Movement that one of them follows later than the other proves nothing, K/s. */
const settledCPerS = 0.05;
const apartHoldS = 120;
/** Raised, it is over when they have been clearly within the limit for so long. */
const closeShare = 0.8;
const closeHoldS = 60;

type Seen = {
  readonly probes: ProbeStates;
  readonly settings: GuardSettings;
  readonly nowMs: MonotonicMs;
};

/** Steps every engine with two probes or more on its elbow. Not to be called while the board is away. */
export function stepElbowPairs(before: ElbowPairs, seen: Seen, dtS: number): ElbowPairs {
  const pairs: Record<Engine, ElbowPair> = {};
  for (const { id } of seen.settings.engines) {
    const elbows = seen.settings.probes.filter((p) => p.place === 'wet-elbow' && p.engine === id);
    if (elbows.length > 1) pairs[id] = step(before[id] ?? firstPair, apartNow(elbows, seen), dtS);
  }
  return pairs;
}

function step(before: ElbowPair, now: Apart | undefined, dtS: number): ElbowPair {
  // Less than two that can be judged: a fault has its own alert, and what was raised stays until they are seen to agree.
  if (!now) return { ...before, apartS: 0, closeS: 0 };
  const apartS = now.apartK > now.limitK ? before.apartS + dtS : 0;
  const closeS = now.apartK < closeShare * now.limitK ? before.closeS + dtS : 0;
  if (apartS >= apartHoldS) return { apartS, closeS, raised: now };
  return { apartS, closeS, raised: closeS >= closeHoldS ? undefined : before.raised };
}

/** The hottest and the coldest of the believed, settled probes of an elbow; nothing while its cooling is in question. */
function apartNow(elbows: readonly ProbeSettings[], { probes, nowMs }: Seen): Apart | undefined {
  const states = elbows.map((probe) => ({ probe, state: probes[probe.id] ?? firstProbeState }));
  if (states.some(({ state }) => state.alarm.on || state.warning.on || state.elbow?.active)) return undefined;
  const seen = states.flatMap(({ probe, state: { channel, elbow, uncertaintyC = 0 } }) => {
    const steady = !isSettling(channel, nowMs) && Math.abs(slopeCPerS(channel)) <= settledCPerS;
    const believed = believedC(channel, nowMs) !== undefined && !detachedFinding(elbow);
    return steady && believed && channel.slowC !== undefined
      ? [{ probe, slowC: channel.slowC, uncertaintyC }]
      : [];
  });
  seen.sort((a, b) => b.slowC - a.slowC);
  const [hotter, colder] = [seen[0], seen.at(-1)];
  if (!hotter || !colder || hotter === colder) return undefined;
  const mounting = hotter.probe.mounting === colder.probe.mounting ? 'alike' : 'unlike';
  return {
    hotter: hotter.probe.id,
    colder: colder.probe.id,
    hotterC: hotter.slowC,
    colderC: colder.slowC,
    apartK: hotter.slowC - colder.slowC,
    // Standard uncertainties, doubled for about 95 %.
    limitK: mountingMayMakeK[mounting] + 2 * Math.hypot(hotter.uncertaintyC, colder.uncertaintyC),
  };
}

/** A caution for each elbow whose probes cannot both be right: one of them still guards. */
export const elbowPairConditions = (pairs: ElbowPairs, { probes }: GuardSettings): readonly Condition[] =>
  Object.entries(pairs).flatMap(([engine, { raised }]): readonly Condition[] => {
    if (!raised) return [];
    const nameOf = (id: string) => probes.find((probe) => probe.id === id)?.name ?? id;
    const { hotter, colder, hotterC, colderC, apartK, limitK } = raised;
    return [
      {
        situation: 'probe-fault',
        subject: `${engine}-elbow-pair`,
        rule: 'elbows-disagree',
        priority: 'caution',
        engine,
        message: `${nameOf(hotter)} reads ${hotterC.toFixed(1)} C and ${nameOf(colder)} ${colderC.toFixed(1)} C, ${apartK.toFixed(1)} K apart on one elbow: more than their mountings and uncertainties explain. The hotter one counts.`,
        evidence: { values: { apartK, hotterC, colderC }, thresholds: { apartK: limitK, holdS: apartHoldS } },
      },
    ];
  });
