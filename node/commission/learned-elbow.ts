import { bins, type TwinApart } from '../guard/baseline.js';
import type { BaselineFile } from '../guard/baseline-file.js';
import type { Fitted } from '../guard/fit-twin.js';
import { normalBounds } from '../guard/normal-bounds.js';
import { reachedTwice } from '../guard/reached-twice.js';
import type { ProbeSettings } from '../guard/settings.js';
import type { ElbowNotes } from './commission-book.js';
import { borrowed, type Lack } from './lacks.js';

export type LearnedElbow = BaselineFile['elbows'][string];

/** What was learned of one elbow, as it is written to the baseline file; armed where nothing is `open`. */
export function learnedElbow(
  probe: ProbeSettings,
  notes: ElbowNotes,
  { baseline: fit }: Fitted,
  twinApart: TwinApart | undefined,
  { leadS, open }: { readonly leadS: number; readonly open: readonly Lack[] },
): LearnedElbow {
  const spread = borrowed(fit.spread);
  // There were trips enough, and only its spread is too wide: how far it went all the same is known.
  const bounds = open.length > 0 && open.every(({ only }) => only === 'spread');
  return {
    armed: open.length === 0,
    because: open.map(({ why }) => why),
    leadS,
    secondsLearned: notes.seconds.length,
    coefficients: fit.coefficients.map((c) => Number(c.toPrecision(9))),
    ...knownOf({ steadyMeanK: fit.steadyMeanK, seaC: fit.seaC }),
    exhaustC: rounded(fit.gasC),
    highestRiseK: round(fit.highestRiseK),
    ...knownOf({
      afterSwellK: fit.afterSurgeK,
      coldIdle: fit.coldIdle,
      coldStartRiseK: coldStartRiseK(notes),
      levelChange: fit.levelChange,
      highestLedRiseK: fit.highestLedRiseK,
      fastestCPerS: fit.fastestCPerS,
      ofTwoTrips: fit.ofTwoTrips,
      twinApart,
      twinExhaust: fit.twinExhaust,
    }),
    ...(bounds && { boundsK: normalBounds(notes.seconds, fit.gasC).risesK.map(round) }),
    spread: Object.fromEntries(
      bins.map((bin) => [bin, { q998K: round(spread[bin].q998K), seconds: spread[bin].seconds }]),
    ) as LearnedElbow['spread'],
    ...proposal(notes, probe),
  };
}

const round = (value: number): number => Math.round(value * 1000) / 1000;

const rounded = <T extends object>(values: T): T =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [name, round(value)])) as T;

/** Of these values the ones that are known, to a thousandth. */
const knownOf = <T extends Readonly<Record<string, number | object | undefined>>>(
  values: T,
): { [name in keyof T]?: Exclude<T[name], undefined> } =>
  Object.fromEntries(
    Object.entries(values).flatMap(([name, value]) =>
      value === undefined ? [] : [[name, typeof value === 'number' ? round(value) : rounded(value)]],
    ),
  ) as { [name in keyof T]?: Exclude<T[name], undefined> };

/** So many cold starts tell what is usual; one that went higher than all others may have been a closed seacock. */
const coldStartsWanted = 4;
const coldStartRiseK = ({ coldStartRisesK }: ElbowNotes): number | undefined =>
  coldStartRisesK.length < coldStartsWanted ? undefined : reachedTwice(coldStartRisesK);

/**
 * Limits just above what normal running showed, never above those of the kit. A history in which the warning of the kit
 * was reached is no picture of normal running: from that nothing is proposed.
 */
function proposal(
  { highestC }: ElbowNotes,
  { warning, alarm }: ProbeSettings,
): { readonly proposedLimits?: NonNullable<LearnedElbow['proposedLimits']> } {
  const mostWarningC = warning?.raiseAt ?? 82;
  if (highestC >= mostWarningC) return {};
  const warningC = Math.min(mostWarningC, Math.max(50, Math.ceil(highestC + 12)));
  const alarmC = Math.min(alarm?.raiseAt ?? 93, warningC + 11);
  return {
    proposedLimits: {
      warning: { raiseAtC: warningC, clearAtC: warningC - 6, holdS: 2 },
      alarm: { raiseAtC: alarmC, clearAtC: alarmC - 8, holdS: 1 },
    },
  };
}
