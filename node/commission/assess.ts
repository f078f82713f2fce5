import { median } from 'simple-statistics';
import { bins } from '../guard/baseline.js';
import type { BaselineFile } from '../guard/baseline-file.js';
import { fitBaseline } from '../guard/fit-baseline.js';
import { type Fitted, twinApartOf } from '../guard/fit-twin.js';
import { normalBounds } from '../guard/normal-bounds.js';
import { arrangementOf, type GuardSettings } from '../guard/settings.js';
import { allEngines } from '../kit/engines.js';
import type { CommissionBook, ElbowNotes } from './commission-book.js';
import { borrowed, type Lack, leastSecondsToFit, momentLacks, tooFew, tripLacks } from './lacks.js';

export type Step = {
  readonly name: string;
  readonly done: boolean;
  /** What was seen so far. */
  readonly seen: string;
  /** What to do next; empty when done. */
  readonly next: string;
};

type LearnedElbow = BaselineFile['elbows'][string];

export type Assessment = {
  readonly steps: readonly Step[];
  readonly elbows: Readonly<Record<string, LearnedElbow>>;
  /** Elbows of which not enough is known to fit anything, and why. */
  readonly unfitted: Readonly<Record<string, readonly string[]>>;
};

/** How far apart the probes of a cold boat may read, K. */
const coldWithinK = { thermistor: 1.5, thermocouple: 4 };

/** The owner's confirmation that the buzzer was heard at the helm: its date, and the probes dipped hot until then. */
export type BuzzerProof = NonNullable<BaselineFile['buzzer']>;

/** What is done, what is not, and what may be armed. `buzzer` is the owner's confirmation, new or earlier. */
export function assess(
  book: CommissionBook,
  settings: GuardSettings,
  buzzer: BuzzerProof | undefined,
): Assessment {
  const elbows: Record<string, LearnedElbow> = {};
  const fitted = fitAll(book, settings);
  const unfitted: Record<string, readonly string[]> = {};
  const steps: Step[] = [dipStep(book, settings, buzzer), coldStep(book, settings)];
  for (const probe of settings.probes) {
    const notes = book.elbows.get(probe.id);
    if (!notes || probe.engine === allEngines) continue;
    const leadS = settings.tuning.leadS[probe.mounting];
    const lacks = tripLacks(book, probe.engine, settings);
    const known = fitted.get(probe.id);
    if (!known) {
      const all = [tooFew(notes.seconds.length), ...lacks];
      unfitted[probe.id] = all.map(({ why }) => why);
      steps.push(trialStep(probe.id, all));
      continue;
    }
    const fit = known.baseline;
    const twin = fitted.get(arrangementOf(settings).twinOf.get(probe.id)?.id ?? '');
    const twinApart = twin && twinApartOf(known, twin, leadS);
    const spread = borrowed(fit.spread);
    const open = [...lacks, ...momentLacks(fit.spread)];
    const because = open.map(({ why }) => why);
    // There were trips enough, and only its spread is too wide: how far it went all the same is known.
    const bounds = open.length > 0 && open.every(({ only }) => only === 'spread');
    elbows[probe.id] = {
      armed: because.length === 0,
      because,
      leadS,
      secondsLearned: notes.seconds.length,
      coefficients: fit.coefficients.map((c) => Number(c.toPrecision(9))),
      ...(fit.steadyMeanK !== undefined && { steadyMeanK: round(fit.steadyMeanK) }),
      ...(fit.seaC && {
        seaC: { min: round(fit.seaC.min), max: round(fit.seaC.max), middle: round(fit.seaC.middle) },
      }),
      exhaustC: { min: round(fit.gasC.min), max: round(fit.gasC.max) },
      highestRiseK: round(fit.highestRiseK),
      ...(fit.afterSurgeK !== undefined && { afterSwellK: round(fit.afterSurgeK) }),
      ...(fit.coldIdle && {
        coldIdle: {
          q998K: round(fit.coldIdle.q998K),
          highestRiseK: round(fit.coldIdle.highestRiseK),
          untilS: round(fit.coldIdle.untilS),
        },
      }),
      ...coldStart(notes),
      ...(fit.levelChange && {
        levelChange: {
          steadyK: round(fit.levelChange.steadyK),
          settlingK: round(fit.levelChange.settlingK),
        },
      }),
      ...(fit.highestLedRiseK !== undefined && { highestLedRiseK: round(fit.highestLedRiseK) }),
      ...(fit.fastestCPerS !== undefined && { fastestCPerS: round(fit.fastestCPerS) }),
      ...(fit.ofTwoTrips && {
        ofTwoTrips: {
          highestRiseK: round(fit.ofTwoTrips.highestRiseK),
          fastestCPerS: round(fit.ofTwoTrips.fastestCPerS),
        },
      }),
      ...(twinApart && {
        twinApart: { steadyK: round(twinApart.steadyK), movingK: round(twinApart.movingK) },
      }),
      ...(fit.twinExhaust && {
        twinExhaust: { middleK: round(fit.twinExhaust.middleK), spreadK: round(fit.twinExhaust.spreadK) },
      }),
      ...(bounds && { boundsK: normalBounds(notes.seconds, fit.gasC).risesK.map(round) }),
      spread: Object.fromEntries(
        bins.map((bin) => [bin, { q998K: round(spread[bin].q998K), seconds: spread[bin].seconds }]),
      ) as LearnedElbow['spread'],
      ...proposal(notes, probe),
    };
    steps.push(trialStep(probe.id, open));
  }
  return { steps, elbows, unfitted };
}

/** Every elbow of which enough was seen. */
function fitAll(book: CommissionBook, settings: GuardSettings): ReadonlyMap<string, Fitted> {
  return new Map(
    settings.probes.flatMap(({ id, mounting }): [string, Fitted][] => {
      const seconds = book.elbows.get(id)?.seconds ?? [];
      if (seconds.length < leastSecondsToFit) return [];
      return [[id, { seconds, baseline: fitBaseline(seconds, settings.tuning.leadS[mounting]) }]];
    }),
  );
}

/** So many cold starts tell what is usual; one that went higher than all others may have been a closed seacock. */
const coldStartsWanted = 4;
const coldStart = ({ coldStartRisesK }: ElbowNotes): { coldStartRiseK?: number } => {
  const [, secondHighest] = coldStartRisesK.toSorted((a, b) => b - a);
  return coldStartRisesK.length < coldStartsWanted || secondHighest === undefined
    ? {}
    : { coldStartRiseK: round(secondHighest) };
};

const round = (value: number): number => Math.round(value * 1000) / 1000;

/** The elbows whose probe was hot enough to sound the alarm while their engine was stopped. */
export const dippedIn = (book: CommissionBook, settings: GuardSettings): readonly string[] =>
  [...book.elbows].flatMap(([id, notes]) => {
    const limit = settings.probes.find((p) => p.id === id)?.alarm?.raiseAt ?? 93;
    return notes.hottestStoppedC < Math.min(93, limit) ? [] : [id];
  });

function dipStep(book: CommissionBook, settings: GuardSettings, buzzer: BuzzerProof | undefined): Step {
  const dipped = [...dippedIn(book, settings), ...(buzzer?.dipped ?? [])];
  const undipped = [...book.elbows.keys()].filter((id) => !dipped.includes(id));
  const seen = [...book.elbows]
    .map(
      ([id, n]) =>
        `${id} ${Number.isFinite(n.hottestStoppedC) ? `${n.hottestStoppedC.toFixed(1)} C` : 'never'}`,
    )
    .join(', ');
  const done = undipped.length === 0 && buzzer !== undefined;
  const next = [
    ...(undipped.length > 0
      ? [
          `With the engine off and cold, and its exhaust-gas probe connected, dip ${undipped.join(' and ')} in boiling water, straight from the air, until the buzzer sounds. Boiling water scalds: use a deep pot on a steady surface and a long cable.`,
        ]
      : []),
    ...(buzzer
      ? []
      : [
          'When you have heard the buzzer at the helm with the engine-room hatch shut, add --buzzer-confirmed.',
        ]),
  ];
  return {
    name: 'Hot dip: the buzzer is proven',
    done,
    seen: `hottest while stopped: ${seen}; buzzer heard at the helm: ${buzzer ? `confirmed on ${buzzer.confirmedAt.slice(0, 10)}` : 'not confirmed'}`,
    next: next.join(' '),
  };
}

function coldStep(book: CommissionBook, settings: GuardSettings): Step {
  const name = 'Cold soak: all probes agree';
  const soak = book.coldSoak;
  if (!soak)
    return {
      name,
      done: false,
      seen: 'no start after six hours of lying still in this history',
      next: 'Leave the node running overnight with the engines off, then start as usual and run this again.',
    };
  const temperatures = Object.values(soak);
  const middleC = temperatures.length > 0 ? median(temperatures) : 0;
  const apart = settings.probes.filter(({ id, place }) => {
    const c = soak[id];
    const within =
      place === 'dry-exhaust' || place === 'before-turbo' ? coldWithinK.thermocouple : coldWithinK.thermistor;
    // The sea is not as warm as the engine room, and need not be.
    return place !== 'sea-water' && c !== undefined && Math.abs(c - middleC) > within;
  });
  return {
    name,
    done: apart.length === 0,
    seen: Object.entries(soak)
      .map(([id, c]) => `${id} ${c.toFixed(1)} C`)
      .join(', '),
    next:
      apart.length === 0
        ? ''
        : `${apart.map((p) => p.id).join(' and ')} read apart from ${middleC.toFixed(1)} C. Calibrate it again (elbowroom calibrate) before you trust what is learned: a drifting probe looks like a drifting engine.`,
  };
}

const trialStep = (probe: string, open: readonly Lack[]): Step => ({
  name: `Trips: ${probe}`,
  done: open.length === 0,
  seen: open.length === 0 ? 'enough recorded' : `still lacks: ${open.map(({ why }) => why).join('; ')}`,
  next: open.map(({ way }) => way).join(' '),
});

/**
 * Limits just above what normal running showed, never above those of the kit. A history in which the warning of the kit
 * was reached is no picture of normal running: from that nothing is proposed.
 */
function proposal(
  { highestC }: ElbowNotes,
  { warning, alarm }: GuardSettings['probes'][number],
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
