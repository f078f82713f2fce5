import { combined, coverageFactor95 } from '../../../calibration/budget/coverage-factor.js';
import {
  type Bath,
  type CalibratedInput,
  type CalibrationPoint,
  calibrate,
  certifiedTemperatureC,
  progressOf,
  startSession,
  stepSession,
} from '../../../calibration/index.js';
import type { ElectricalSignal } from '../../../calibration/reading/signal.js';
import { type Chance, chance } from './chance.js';
import { type Conditions, documented } from './conditions.js';
import { trueBaths } from './true-baths.js';
import { trueThermistor } from './true-thermistor.js';
import { trueThermocouple } from './true-thermocouple.js';

export type TrueProbe = {
  readonly input: CalibratedInput;
  readonly atTheTable: (probeC: number) => ElectricalSignal;
  readonly inUse: (trueC: number) => ElectricalSignal;
};

const probes = {
  thermistor: { make: trueThermistor, placesC: [0, 25, 60, 75, 93] },
  thermocouple: { make: trueThermocouple, placesC: [0, 100, 300, 400, 600] },
} as const;

export type Coverage = {
  readonly temperatureC: number;
  /** Share of calibrations whose stated 95 % interval held the truth. */
  readonly held: number;
  readonly meanExpandedC: number;
  readonly rmsErrorC: number;
};

/** Calibrates `count` random probes and asks each at the places that matter. Sessions that were refused are counted apart. */
export function coverageOf(
  kind: keyof typeof probes,
  twist: Partial<Conditions>,
  count: number,
  seed: number,
): { readonly rows: readonly Coverage[]; readonly refused: number } {
  const source = chance(seed);
  const conditions = { ...documented, ...twist };
  const { make, placesC } = probes[kind];
  const sums = placesC.map((temperatureC) => ({ temperatureC, held: 0, expanded: 0, squares: 0 }));
  let taken = 0;
  for (let i = 0; i < count; i++) {
    const probe = make(source, conditions);
    const { sensor, chain } = probe.input;
    const stem = conditions.stem(source);
    const points = trueBaths(source, conditions).map(({ believed, trueC }) =>
      settled(probe, believed, trueC + stem * (20 - trueC), conditions.tauS),
    );
    const calibration = calibrate(sensor, chain, points);
    // One in a hundred thousand is what the certificate refuses.
    if (calibration.plausibility < 1e-5) continue;
    taken++;
    for (const sum of sums) {
      const lines = calibration.linesAt(sum.temperatureC);
      const expanded = coverageFactor95(lines) * combined(lines);
      const read = certifiedTemperatureC(
        { sensor, model: calibration.model } as never,
        probe.inUse(sum.temperatureC),
      );
      const error = read - sum.temperatureC;
      if (Math.abs(error) <= expanded) sum.held++;
      sum.expanded += expanded;
      sum.squares += error ** 2;
    }
  }
  return {
    refused: (count - taken) / count,
    rows: sums.map(({ temperatureC, held, expanded, squares }) => ({
      temperatureC,
      held: held / taken,
      meanExpandedC: expanded / taken,
      rmsErrorC: Math.sqrt(squares / taken),
    })),
  };
}

/** A probe in a bath until its session takes it: at rest at once, or after an approach from 20 C with a time constant. */
function settled(probe: TrueProbe, bath: Bath, probeC: number, tauS?: number): CalibrationPoint {
  if (tauS === undefined)
    return pointFrom(
      bath,
      Array.from({ length: 45 }, () => probe.atTheTable(probeC)),
    );
  const { name, sensor, chain } = probe.input;
  let session = stepSession(startSession({ p: { name, sensor, chain } }), { kind: 'begin', bath });
  for (let atS = 0; atS < 1200; atS++) {
    const signal = probe.atTheTable(probeC + (20 - probeC) * Math.exp(-atS / tauS));
    session = stepSession(session, { kind: 'reading', probe: 'p', atS, signal });
    if (atS % 5 === 0 && atS > 2 * tauS && progressOf(session)[0]?.settled) break;
  }
  const taken = stepSession(session, { kind: 'take', takenAt: '2026-01-01T00:00:00Z' }).points.p?.[0];
  if (!taken) throw new Error(`A probe of ${tauS} s never settled in the ${bath.kind} bath.`);
  return taken;
}

/** What the session makes of readings that did not change: mean and scatter. */
export function pointFrom(bath: Bath, signals: readonly ElectricalSignal[]): CalibrationPoint {
  const raws = signals.map(({ raw }) => raw);
  const mean = raws.reduce((sum, r) => sum + r, 0) / raws.length;
  const variance = raws.reduce((sum, r) => sum + (r - mean) ** 2, 0) / (raws.length - 1);
  return {
    ...bath,
    signal: { ...(signals[0] as ElectricalSignal), raw: mean },
    scatter: Math.sqrt(variance),
    readings: raws.length,
    heldS: raws.length,
    trendCPerMin: 0,
    takenAt: '2026-01-01T00:00:00Z',
  };
}

export type { Chance };
