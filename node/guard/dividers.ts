import type { Condition } from '../alerts/condition.js';
import { type Reading, temperatureOf } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import type { GuardSettings } from './settings.js';

/**
 * Whether the thermistors on the elbows can be right together. A wrong divider resistor, fitted or written in the kit,
 * moves them all alike, and nothing in them shows it. But on a cold boat an elbow is about as warm as the air around it,
 * and amplifiers measure that air by themselves, with no divider: their cold junctions are the reference.
 */
export type Dividers = {
  /** The last answer of each amplifier: its own temperature, and how far the gas is above it. */
  readonly amplifiers: Readonly<Record<string, Amplifier>>;
  /** How long the elbows have been too far from the amplifiers, and how long near them, s. */
  readonly farS: number;
  readonly nearS: number;
  /** How far they were when it was reported, K; state files keep it under this name. */
  readonly reportedK: number | undefined;
};
type Amplifier = { readonly coldJunctionC: number; readonly gasAboveK: number; readonly atMs: number };

export const dividersAtRest: Dividers = { amplifiers: {}, farS: 0, nearS: 0, reportedK: undefined };

/**
 * All chosen with room for a heated engine room in winter, a box of electronics that warms itself and one in the sun; no
 * source. A 4.7 kohm for a 2.2 kohm is 17 K too warm at 20 C (beta 3950), the other way round 15 K too cold; a resistor
 * of the next decade 40 to 60 K. A cold elbow full of winter's sea in a heated room may honestly be 15 K colder than the
 * air, so that colder needs more than warmer.
 */
const tooWarmK = 12;
const tooColdK = -18;
/** Gas this near the amplifier's own temperature: the engine has stood for hours, and so has its manifold. */
const coldGasK = 3;
const alikeK = 4;
const holdS = 600;
const answerGoodForMs = 5_000;

export type DividerSigns = {
  readonly readings: readonly Reading[];
  /** The believed elbows that are read by a divider, C. */
  readonly elbowsC: readonly number[];
  readonly anyEngineRuns: boolean;
  readonly nowMs: MonotonicMs;
  readonly dtS: number;
};

export function stepDividers(before: Dividers, signs: DividerSigns, settings: GuardSettings): Dividers {
  const { elbowsC, nowMs, dtS } = signs;
  if (!canBeJudged(settings)) return dividersAtRest;
  const amplifiers = updateAmplifiers(before.amplifiers, signs.readings, settings);
  const fresh = Object.values(amplifiers).filter(({ atMs }) => nowMs - atMs <= answerGoodForMs);
  const cold =
    !signs.anyEngineRuns &&
    fresh.length > 0 &&
    fresh.every(({ gasAboveK }) => Math.abs(gasAboveK) <= coldGasK);
  const [lowestC, highestC] = [Math.min(...elbowsC), Math.max(...elbowsC)];
  if (!cold || elbowsC.length < 2 || highestC - lowestC > alikeK)
    return amplifiers === before.amplifiers && before.farS === 0 && before.nearS === 0
      ? before
      : { amplifiers, farS: 0, nearS: 0, reportedK: before.reportedK };
  const airC = middle(fresh.map(({ coldJunctionC }) => coldJunctionC));
  const apartK = (lowestC + highestC) / 2 - airC;
  const far = apartK > tooWarmK || apartK < tooColdK;
  const farS = far ? before.farS + dtS : 0;
  const nearS = far ? 0 : before.nearS + dtS;
  const reportedK =
    farS >= holdS ? (before.reportedK ?? apartK) : nearS >= holdS ? undefined : before.reportedK;
  return { amplifiers, farS, nearS, reportedK };
}

/** A kit that was changed may have no amplifier left, or no two dividers: then nothing can be compared. */
const canBeJudged = ({ probes }: GuardSettings): boolean =>
  probes.some(({ input }) => input === 'amplifier') &&
  probes.filter(({ input, place }) => input === 'divider' && place === 'wet-elbow').length >= 2;

function updateAmplifiers(
  before: Dividers['amplifiers'],
  readings: readonly Reading[],
  settings: GuardSettings,
): Dividers['amplifiers'] {
  let after: Record<string, Amplifier> | undefined;
  for (const reading of readings) {
    const { probe, signal, readAtMs } = reading;
    const temperatureC = temperatureOf(reading);
    if (signal?.coldJunctionC === undefined || temperatureC === undefined) continue;
    if (settings.probes.find(({ id }) => id === probe)?.input !== 'amplifier') continue;
    after ??= { ...before };
    const { coldJunctionC } = signal;
    after[probe] = { coldJunctionC, gasAboveK: temperatureC - coldJunctionC, atMs: readAtMs };
  }
  return after ?? before;
}

const middle = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;

/** One caution for all of them. */
export const dividersCondition = (apartK: number): Condition => ({
  situation: 'probe-fault',
  subject: 'dividers',
  rule: 'dividers-implausible',
  priority: 'caution',
  message: `With cold engines all elbow thermistors read about ${Math.abs(apartK).toFixed(0)} K ${apartK > 0 ? 'warmer' : 'colder'} than the amplifiers beside them: a wrong divider resistor, or a wrong one written in the kit.`,
  evidence: { values: { apartK }, thresholds: { tooWarmK, tooColdK, holdS } },
});
