import { folded } from '../../wording/fold.js';
import type { PlanAnswers } from '../answers.js';
import { boardConverter, countsUncertainty } from '../converter.js';
import { line, type Part } from '../part.js';
import { plannedEnginesOf } from '../places.js';

/** A pressure probe behind one engine's raw-water pump, as the plan gives it. */
export type PlannedGauge = {
  readonly id: string;
  readonly name: string;
  readonly engine: string;
  readonly pin: string;
  readonly fullScaleKpa: number;
  /** What one step of the board's converter is, and how sure one reading is beside its zero (k = 1), kPa. */
  readonly stepKpa: number;
  readonly uncertaintyKpa: number;
};

/** 0 to 2 bar: such pumps give 50 to 120 kPa at full speed (common practice, no source). */
const fullScaleKpa = 200;
/** 0.5 to 4.5 V of 5 V. */
const spanShare = 0.8;
/** Nonlinearity and temperature of a cheap transducer beside its zero, part of its full scale, rectangular (usual datasheets). */
const accuracy = 0.01;

/** One for each engine, on the last analogue pins, so that the thermistors keep theirs. */
export const planGauges = (answers: PlanAnswers, pins: readonly string[]): readonly PlannedGauge[] => {
  const stepKpa = fullScaleKpa / (spanShare * boardConverter.fullScaleCounts);
  const uncertaintyKpa = Math.hypot(
    countsUncertainty(boardConverter) * stepKpa,
    (accuracy * fullScaleKpa) / Math.sqrt(3),
  );
  return gaugedEngines(answers).map(({ id, name }, i) => ({
    id: `${id}-pump`,
    name: `${name} raw-water pump`,
    engine: id,
    pin: pins[i] ?? '',
    fullScaleKpa,
    stepKpa,
    uncertaintyKpa,
  }));
};

/** The engines that get a pressure probe. */
export const gaugedEngines = (answers: PlanAnswers) =>
  answers.rawWaterPressure ? plannedEnginesOf(answers).engines : [];

/** Its lines in kit.yaml. */
export const gaugeEntry = ({ id, name, engine, pin, fullScaleKpa }: PlannedGauge) => ({
  id,
  name,
  engine,
  place: 'raw-water-pressure',
  mounting: 'free',
  channel: { kind: 'ratiometric-pressure', pin, fullScaleKpa },
});

export const gaugeText = (gauge: PlannedGauge, width: number): string =>
  [
    ...folded(
      `${gauge.name} (${gauge.id}): pin ${gauge.pin}, 0 to ${gauge.fullScaleKpa} kPa, T-piece between pump and cooler, above the waterline`,
      width,
    ),
    ...folded(
      `one step ${gauge.stepKpa.toFixed(2)} kPa, u ${gauge.uncertaintyKpa.toFixed(2)} kPa beside its zero, which is taken at every stop`,
      width,
      '  ',
    ),
    ...folded(
      'CLOSE THE SEACOCK before the hose is cut, open it again before the engine is started, then look for drips',
      width,
      '  ',
    ),
  ].join('\n');

export const gaugeParts = (gauges: readonly PlannedGauge[], metres: number): readonly Part[] => {
  if (gauges.length === 0) return [];
  const use = gauges.map(({ id }) => id).join(', ');
  const n = gauges.length;
  return [
    line(
      n,
      `pressure transducer 0 to ${fullScaleKpa} kPa gauge, ratiometric 0.5 to 4.5 V, 5 V supply, stainless 316L or brass, with plug`,
      use,
    ),
    line(
      n,
      'T-piece for the raw-water hose, marine bronze or glass-filled nylon for it, with the transducer’s thread',
      use,
    ),
    line(4 * n, 'hose clamp, stainless 316, for the raw-water hose', 'two on each end of the T-piece'),
    line(n, 'snubber, or 20 cm of small-bore tube with fittings', 'against the pulses of the vanes'),
    line(n, 'resistor 100 kΩ', `from signal to ground at the board: ${use}`),
    line(Math.ceil(n * metres), 'metres of tinned, shielded cable, 3 conductors, 0.5 mm²', use),
    line(1, 'clear hose 2.5 m for the transducer’s thread, and a metre rule', 'its calibration'),
  ];
};
