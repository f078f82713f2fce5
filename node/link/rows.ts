import type { Alert } from '../alerts/alert.js';
import { kindOf } from '../channels/table.js';
import type { GuardSettings } from '../guard/settings.js';
import type { Kit } from '../kit/schema.js';
import { numbersOf, type RowValues, valued } from '../reading/quantity.js';
import { type Measured, qualityOf, type RawUnit, type Reading, type Signal } from '../reading/reading.js';
import type { MonotonicMs, WallMs } from '../time/clock.js';
import type { AlertRow, ProbeCard, ReadingRow } from './messages.js';

type WallOf = (at: MonotonicMs) => WallMs;

/** What an input can mean: finer digits would only be noise to store for ever. */
const rawStep: Readonly<Record<RawUnit, number>> = { ohm: 0.01, microvolt: 0.01, volt: 1e-6 };

export const roundedSignal = (signal: Signal): Signal => ({
  raw: rounded(signal.raw, rawStep[signal.rawUnit]),
  rawUnit: signal.rawUnit,
  ...(signal.coldJunctionC !== undefined && { coldJunctionC: rounded(signal.coldJunctionC, 0.0001) }),
});

export const readingRow = (reading: Reading, wall: WallOf): ReadingRow => ({
  probe: reading.probe,
  at: wall(reading.readAtMs),
  ...(reading.result.kind === 'measured' && valuesOf(reading.result)),
  ...(reading.signal && roundedSignal(reading.signal)),
  quality: qualityOf(reading),
  ...(reading.certificate !== undefined && { certificate: reading.certificate }),
});

const valuesOf = (measured: Measured): RowValues => {
  const { value, uncertainty } = numbersOf(measured);
  const { quantity: _, ...values } = valued(
    measured.quantity,
    rounded(value, 0.001),
    rounded(uncertainty, 0.001),
  );
  return values;
};

export const alertRow = (alert: Alert, wall: WallOf): AlertRow => {
  const { sinceMs, acknowledgedAtMs, silencedUntilMs, shelvedUntilMs, rectifiedAtMs, ...rest } = alert;
  return {
    ...rest,
    since: wall(sinceMs),
    ...(acknowledgedAtMs !== undefined && { acknowledgedAt: wall(acknowledgedAtMs) }),
    ...(silencedUntilMs !== undefined && { silencedUntil: wall(silencedUntilMs) }),
    ...(shelvedUntilMs !== undefined && { shelvedUntil: wall(shelvedUntilMs) }),
    ...(rectifiedAtMs !== undefined && { rectifiedAt: wall(rectifiedAtMs) }),
  };
};

/** The probes as a host needs them, with the limits the guard really uses, whether the kit named them or not. */
export const probeCards = (kit: Kit, settings: GuardSettings): ProbeCard[] =>
  kit.probes.map(({ id, name, engine, place, mounting, channel }) => {
    const guarded = settings.probes.find((probe) => probe.id === id);
    const limit = (which: 'alarm' | 'warning') => {
      const found = guarded?.[which];
      return found && { [which]: { raiseAtC: found.raiseAt, clearAtC: found.clearAt, holdS: found.holdS } };
    };
    const { quantity } = kindOf(channel).meter;
    return {
      id,
      name,
      engine,
      place,
      mounting,
      quantity,
      limits: { ...limit('alarm'), ...limit('warning') },
    };
  });

/** Divides by the inverse where that is whole, so that 0.001 leaves no tail of binary digits. */
const rounded = (value: number, step: number): number => {
  const perUnit = Math.round(1 / step);
  return Math.round(value * perUnit) / perUnit;
};
