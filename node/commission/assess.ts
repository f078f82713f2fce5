import { type Bin, bins } from '../guard/baseline.js';
import type { BaselineFile } from '../guard/baseline-file.js';
import { fitBaseline } from '../guard/fit-baseline.js';
import type { GuardSettings, ProbeSettings } from '../guard/settings.js';
import { allEngines, type Engine, type EngineKind } from '../kit/engines.js';
import type { CommissionBook, ElbowNotes } from './commission-book.js';

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

/** Six trips gave 1.4 false warnings per 1,000 h in simulation, three gave 3.5, one gave 55. */
export const tripsWanted = 6;
const slamsWanted = 2;
const hotRestartsWanted = 1;
/** Seconds of each kind of moment below which its spread means nothing. */
export const secondsWanted: Readonly<Record<Bin, number>> = {
  'warm-up': 600,
  'falling-fast': 60,
  falling: 120,
  steady: 1200,
  rising: 120,
  'rising-fast': 60,
};
/** An elbow that spreads wider than this in normal running hides a real loss; look for the cause first. */
const widestSpreadK = 8;
const leastSecondsToFit = 300;
/** How far probes of a cold boat may stand apart, K. */
const coldWithinK = { thermistor: 1.5, thermocouple: 4 };

/** The owner's word that the buzzer was heard at the helm: when it was given, and the probes dipped hot until then. */
export type BuzzerProof = NonNullable<BaselineFile['buzzer']>;

/** What is done, what is not, and what may be armed. `buzzer` is the owner's word, of now or of an earlier time. */
export function assess(
  book: CommissionBook,
  settings: GuardSettings,
  buzzer: BuzzerProof | undefined,
): Assessment {
  const elbows: Record<string, LearnedElbow> = {};
  const unfitted: Record<string, readonly string[]> = {};
  const steps: Step[] = [dipStep(book, settings, buzzer), coldStep(book, settings)];
  for (const probe of settings.probes) {
    const notes = book.elbows.get(probe.id);
    if (!notes || probe.engine === allEngines) continue;
    const leadS = settings.tuning.leadS[probe.mounting];
    const lacks = trialLacks(book, probe.engine, settings);
    if (notes.seconds.length < leastSecondsToFit) {
      unfitted[probe.id] = [
        `${notes.seconds.length} s of running recorded with sea and exhaust gas; ${leastSecondsToFit} s are the least to fit anything`,
        ...lacks,
      ];
      steps.push(trialStep(probe, settings, unfitted[probe.id] ?? []));
      continue;
    }
    const fit = fitBaseline(notes.seconds, leadS);
    const because = [...lacks, ...binLacks(fit.spread)];
    elbows[probe.id] = {
      armed: because.length === 0,
      because,
      leadS,
      secondsLearned: notes.seconds.length,
      coefficients: fit.coefficients.map((c) => Number(c.toPrecision(9))),
      exhaustC: { min: round(fit.gasC.min), max: round(fit.gasC.max) },
      highestRiseK: round(fit.highestRiseK),
      ...(fit.twinExhaust && {
        twinExhaust: { middleK: round(fit.twinExhaust.middleK), spreadK: round(fit.twinExhaust.spreadK) },
      }),
      spread: Object.fromEntries(
        bins.map((bin) => [bin, { q998K: round(fit.spread[bin].q998K), seconds: fit.spread[bin].seconds }]),
      ) as LearnedElbow['spread'],
      ...proposal(notes, probe),
    };
    steps.push(trialStep(probe, settings, because));
  }
  return { steps, elbows, unfitted };
}

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
          `With the engine off, dip ${undipped.join(' and ')} in boiling water until the buzzer sounds. Boiling water scalds: use a deep pot on a steady surface and a long cable.`,
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
  const temperatures = Object.values(soak).sort((a, b) => a - b);
  const middleC = temperatures[temperatures.length >> 1] ?? 0;
  const astray = settings.probes.filter(({ id, place }) => {
    const c = soak[id];
    const within =
      place === 'dry-exhaust' || place === 'before-turbo' ? coldWithinK.thermocouple : coldWithinK.thermistor;
    // The sea is not as warm as the engine room, and need not be.
    return place !== 'sea-water' && c !== undefined && Math.abs(c - middleC) > within;
  });
  return {
    name,
    done: astray.length === 0,
    seen: Object.entries(soak)
      .map(([id, c]) => `${id} ${c.toFixed(1)} C`)
      .join(', '),
    next:
      astray.length === 0
        ? ''
        : `${astray.map((p) => p.id).join(' and ')} stood apart from ${middleC.toFixed(1)} C. Calibrate it again (elbowroom calibrate) before you trust what is learnt: a drifting probe looks like a drifting engine.`,
  };
}

function trialLacks(book: CommissionBook, engine: Engine, settings: GuardSettings): string[] {
  const { trips, slams, hotRestarts } = book.engines.get(engine) ?? { trips: 0, slams: 0, hotRestarts: 0 };
  const settingsOf = settings.engines.find(({ id }) => id === engine);
  const name = settingsOf?.name ?? engine;
  const lacks: string[] = [];
  if (!settingsOf?.runningInput) lacks.push(`${name} has no running input; the learned detector needs one`);
  if (!settings.probes.some((p) => p.place === 'sea-water')) lacks.push('there is no sea-water probe');
  if (!settings.probes.some((p) => p.place === 'dry-exhaust' && p.engine === engine))
    lacks.push(`${name} has no exhaust-gas probe`);
  if (trips < tripsWanted) lacks.push(`${trips} of ${tripsWanted} trips of ten minutes or more`);
  if (slams < slamsWanted)
    lacks.push(
      settingsOf?.kind === 'generator'
        ? `${slams} of ${slamsWanted} large loads switched on at once`
        : `${slams} of ${slamsWanted} quick openings of the throttle`,
    );
  if (hotRestarts < hotRestartsWanted) lacks.push('no restart within half an hour of a stop');
  return lacks;
}

const binLacks = (spread: LearnedElbow['spread']): string[] =>
  bins.flatMap((bin) => {
    const { seconds, q998K } = spread[bin];
    if (seconds < secondsWanted[bin]) return [`${bin}: ${seconds} of ${secondsWanted[bin]} s`];
    if (q998K > widestSpreadK)
      return [
        `${bin}: spreads by ${q998K.toFixed(1)} K, more than ${widestSpreadK} K; look for a loose probe`,
      ];
    return [];
  });

/** A generator set keeps its speed: what it has to learn is its load, and that can be had in the harbour. */
const trials: Readonly<Record<EngineKind, string>> = {
  propulsion:
    'In open water with a second person aboard: idle 5 min, then up a staircase of four speeds 3 min each, wide open 3 min, back to idle, open the throttle quickly twice, stop 5 min, start again. Keep to the engine maker’s limits.',
  generator:
    'At anchor or at the dock, well ventilated (carbon monoxide): no load 5 min, then up a staircase of four electrical loads 3 min each, full load 3 min, no load, switch a large load on at once twice, stop 5 min, start again. Keep to the maker’s limits.',
};

const trialStep = (probe: ProbeSettings, settings: GuardSettings, because: readonly string[]): Step => ({
  name: `Sea trial: ${probe.id}`,
  done: because.length === 0,
  seen: because.length === 0 ? 'every kind of moment recorded' : `still lacks: ${because.join('; ')}`,
  next:
    because.length === 0
      ? ''
      : trials[settings.engines.find(({ id }) => id === probe.engine)?.kind ?? 'propulsion'],
});

/**
 * Limits just above what normal running showed, never above those that stand. A history in which the warning that stands
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
