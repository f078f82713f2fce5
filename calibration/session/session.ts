import type { Bath, CalibrationPoint } from '../bath/point.js';
import { ThermometryError } from '../errors.js';
import type { InputChain } from '../model/input-chain.js';
import { expectBathsToDiffer } from '../model/thermocouple-effects.js';
import { nominalReading, type Sensor } from '../reading/sensor.js';
import type { ElectricalSignal } from '../reading/signal.js';
import { lagFrom } from './lag.js';
import { remainingS } from './remaining.js';
import { assess, type SettlingRules, type Stretch, usualRules } from './settling.js';

/** A probe that can be calibrated: what it is, and how it is read. */
export type CalibratedInput = {
  readonly name: string;
  readonly sensor: Sensor;
  readonly chain: InputChain;
};

type Taken = { readonly atS: number; readonly temperatureC: number; readonly signal: ElectricalSignal };

/** What one probe did in the bath that is being watched. */
type Watch = {
  readonly taken: readonly Taken[];
  /** Why there is no reading now; `elsewhere` is a probe that is not in the bath. */
  readonly missing?: string;
  readonly restarts: number;
};

/**
 * The whole state of a guided calibration, plain data: it can be written to a file at any moment and read back, and the
 * same steps drive a shell or a page.
 */
export type Session = {
  readonly session: 2;
  readonly rules: SettlingRules;
  readonly probes: Readonly<Record<string, CalibratedInput>>;
  readonly points: Readonly<Record<string, readonly CalibrationPoint[]>>;
  readonly bath?: Bath;
  /** Baths that gave at least one point. */
  readonly done: readonly Bath[];
  readonly watches: Readonly<Record<string, Watch>>;
  /** What was not taken, and why: nothing is left out in silence. */
  readonly refusals: readonly { readonly probe: string; readonly bath: Bath['kind']; readonly why: string }[];
};

export type SessionEvent =
  | { readonly kind: 'begin'; readonly bath: Bath }
  | {
      readonly kind: 'reading';
      readonly probe: string;
      /** Seconds on any clock that does not step. */
      readonly atS: number;
      readonly signal: ElectricalSignal;
    }
  | { readonly kind: 'missing'; readonly probe: string; readonly why: string }
  /** Take the points of every settled probe, refuse the others, leave the bath. `takenAt` is ISO 8601. */
  | { readonly kind: 'take'; readonly takenAt: string };

/** A probe further than this from the bath, by its datasheet curve, is not in it. */
const elsewhereC = 8;
/** A pause in the readings longer than this starts the stretch again: the board was disconnected. */
const pauseS = 15;
/** Longest memory of a bath, readings. */
const mostTaken = 900;

const freshWatch: Watch = { taken: [], restarts: 0 };

/** A session that has begun with no bath yet. Throws without probes, and for one that no bath can calibrate. */
export function startSession(
  probes: Readonly<Record<string, CalibratedInput>>,
  rules: SettlingRules = usualRules,
): Session {
  if (Object.keys(probes).length === 0)
    throw new ThermometryError('too-few-points', 'A session needs at least one probe.');
  for (const { name, sensor } of Object.values(probes)) expectBathsToDiffer(sensor, name);
  return { session: 2, rules, probes, points: {}, done: [], watches: {}, refusals: [] };
}

/** One step of the session. Readings of probes it does not know are passed over. */
export function stepSession(session: Session, event: SessionEvent): Session {
  switch (event.kind) {
    case 'begin': {
      const watches = Object.fromEntries(Object.keys(session.probes).map((id) => [id, freshWatch]));
      return { ...session, bath: event.bath, watches };
    }
    case 'reading':
      return changed(session, event.probe, (watch, bath, input) => withReading(watch, bath, input, event));
    case 'missing':
      // One missed second costs nothing; a longer pause starts the stretch again at the next reading.
      return changed(session, event.probe, (watch) => ({ ...watch, missing: event.why }));
    case 'take':
      return takePoints(session, event.takenAt);
  }
}

function changed(
  session: Session,
  probe: string,
  change: (watch: Watch, bath: Bath, input: CalibratedInput) => Watch,
): Session {
  const { bath, watches, probes } = session;
  const watch = watches[probe];
  const input = probes[probe];
  if (!bath || !watch || !input) return session;
  return { ...session, watches: { ...watches, [probe]: change(watch, bath, input) } };
}

const restarted = (watch: Watch): Watch => ({
  taken: [],
  restarts: watch.restarts + (watch.taken.length > 0 ? 1 : 0),
});

function withReading(
  watch: Watch,
  bath: Bath,
  input: CalibratedInput,
  { atS, signal }: { readonly atS: number; readonly signal: ElectricalSignal },
): Watch {
  let temperatureC: number;
  try {
    ({ temperatureC } = nominalReading(input.sensor, signal));
  } catch (error) {
    if (error instanceof ThermometryError) return { ...restarted(watch), missing: error.message };
    throw error;
  }
  if (Math.abs(temperatureC - bath.temperatureC) > elsewhereC)
    return { ...restarted(watch), missing: `elsewhere: reads ${temperatureC.toFixed(1)} C` };
  const lastS = watch.taken.at(-1)?.atS;
  if (lastS !== undefined && atS <= lastS) return watch;
  const from = lastS !== undefined && atS - lastS > pauseS ? restarted(watch) : watch;
  return {
    taken: [...from.taken, { atS, temperatureC, signal }].slice(-mostTaken),
    restarts: from.restarts,
  };
}

/** The state of a probe in the bath that is being watched. */
export type ProbeProgress = Stretch & {
  readonly probe: string;
  readonly readC?: number;
  /** Of the last reading. */
  readonly signal?: ElectricalSignal;
  readonly missing?: string;
  readonly restarts: number;
  /** Until it should be settled; absent while it cannot be estimated. */
  readonly remainingS?: number;
};

/** The state of every probe, for a display. */
export function progressOf(session: Session): readonly ProbeProgress[] {
  return Object.entries(session.watches).map(([probe, watch]) => {
    const stretch = assess(watch.taken, session.rules);
    const last = watch.taken.at(-1);
    const left = remainingS(watch.taken, stretch, session.rules);
    return {
      probe,
      ...stretch,
      restarts: watch.restarts,
      ...(last ? { readC: last.temperatureC, signal: last.signal } : {}),
      ...(watch.missing === undefined ? {} : { missing: watch.missing }),
      ...(left === undefined ? {} : { remainingS: left }),
    };
  });
}

function takePoints(session: Session, takenAt: string): Session {
  const { bath } = session;
  if (!bath) return session;
  const points: Record<string, readonly CalibrationPoint[]> = { ...session.points };
  const refusals = [...session.refusals];
  for (const progress of progressOf(session)) {
    const { probe } = progress;
    if (!progress.settled) {
      refusals.push({ probe, bath: bath.kind, why: whyNot(progress) });
      continue;
    }
    const taken = (session.watches[probe] as Watch).taken;
    const used = progress.used.map((i) => taken[i] as Taken);
    points[probe] = [...(points[probe] ?? []), pointFrom(bath, taken, used, progress, takenAt)];
  }
  const { bath: _, ...rest } = session;
  const gave = Object.keys(points).some((probe) => points[probe] !== session.points[probe]);
  return { ...rest, done: gave ? [...session.done, bath] : session.done, points, refusals, watches: {} };
}

function whyNot(progress: ProbeProgress): string {
  if (progress.missing !== undefined) return progress.missing;
  if (progress.used.length < 2) return 'no readings';
  return `not settled: ${progress.trendCPerMin.toFixed(2)} K per minute (+-${progress.trendUncertaintyCPerMin.toFixed(2)} K) after ${progress.heldS.toFixed(0)} s`;
}

function pointFrom(
  bath: Bath,
  approach: readonly Taken[],
  used: readonly Taken[],
  progress: ProbeProgress,
  takenAt: string,
): CalibrationPoint {
  const raws = used.map((t) => t.signal.raw);
  const mean = average(raws);
  const variance = raws.reduce((sum, r) => sum + (r - mean) ** 2, 0) / (raws.length - 1);
  const colds = used.flatMap((t) => (t.signal.coldJunctionC === undefined ? [] : [t.signal.coldJunctionC]));
  return {
    ...bath,
    signal: {
      raw: mean,
      rawUnit: (used[0] as Taken).signal.rawUnit,
      ...(colds.length > 0 ? { coldJunctionC: average(colds) } : {}),
    },
    scatter: Math.sqrt(variance),
    readings: used.length,
    heldS: progress.heldS,
    trendCPerMin: progress.trendCPerMin,
    lag: lagFrom(approach, (used[0] as Taken).atS, progress.meanC, progress.scatterC),
    takenAt,
  };
}

const average = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
