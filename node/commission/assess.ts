import { median } from 'simple-statistics';
import type { BaselineFile } from '../guard/baseline-file.js';
import { fitBaseline } from '../guard/fit-baseline.js';
import { type Fitted, twinApartOf } from '../guard/fit-twin.js';
import { arrangementOf, type GuardSettings } from '../guard/settings.js';
import { allEngines } from '../kit/engines.js';
import type { CommissionBook } from './commission-book.js';
import { type Lack, leastSecondsToFit, momentLacks, tooFew, tripLacks } from './lacks.js';
import { type LearnedElbow, learnedElbow } from './learned-elbow.js';

export type Step = {
  readonly name: string;
  readonly done: boolean;
  /** What was seen so far. */
  readonly seen: string;
  /** What to do next; empty when done. */
  readonly next: string;
};

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
    const open = [...lacks, ...momentLacks(known.baseline.spread)];
    const twin = fitted.get(arrangementOf(settings).twinOf.get(probe.id)?.id ?? '');
    elbows[probe.id] = learnedElbow(probe, notes, known, twin && twinApartOf(known, twin, leadS), {
      leadS,
      open,
    });
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
