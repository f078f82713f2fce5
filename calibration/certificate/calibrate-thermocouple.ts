import { fitLinear } from '../fit/linear-fit.js';
import { junctionEmfs, type Sensor, typeOf } from '../reading/sensor.js';
import { thermocoupleCurve } from '../thermocouple/curve.js';
import { toleranceLimitC } from '../thermocouple/tolerance.js';
import type { Calibration } from './calibration.js';
import type { BudgetLine } from './coverage-factor.js';
import { distinctTemperatures } from './distinct-temperatures.js';
import { bathLines, pointCovariance, pooledScatter } from './effects.js';
import { type AmplifierChain, hiddenSteps } from './input-chain.js';
import type { CalibrationPoint } from './point.js';

/** Temperature of a board in a running engine room, where the slope of the cold junction is taken. */
const boardC = 40;

/** Share of the class limit that the wire may bend between the points. */
const bulge = 0.1;

/**
 * Share of its class limit that the wire may stray at a temperature. Between the points it is held down; beyond them
 * it has its whole freedom back one span further (100 C when there is one point). A judgement, not a standard.
 */
export function wireFreedom(temperatureC: number, fromC: number, toC: number): number {
  const span = toC - fromC > 20 ? toC - fromC : 100;
  if (temperatureC > toC) return Math.min(1, (temperatureC - toC) / span);
  if (temperatureC < fromC) return Math.min(1, (fromC - temperatureC) / span);
  if (toC === fromC) return 0;
  const x = (temperatureC - fromC) / (toC - fromC);
  return bulge * 4 * x * (1 - x);
}

/**
 * Correction of a thermocouple and its amplifier in the EMF domain: an offset, and a gain once two temperatures are
 * known. Throws for no points and for points outside the type's range.
 */
export function calibrateThermocouple(
  sensor: Extract<Sensor, { kind: 'thermocouple' | 'ad8495' }>,
  chain: AmplifierChain,
  points: readonly CalibrationPoint[],
): Calibration {
  const type = typeOf(sensor);
  const curve = thermocoupleCurve(type);
  const terms = Math.min(2, distinctTemperatures(points)) as 1 | 2;
  const row = (emf: number): number[] => (terms === 1 ? [1] : [1, emf]);
  const emfs = points.map((p) => junctionEmfs(sensor, p.signal));
  const slopes = points.map((p) => curve.seebeckMicrovoltsPerC(p.temperatureC));
  const microvoltsPerRaw = sensor.kind === 'ad8495' ? 1e6 / 122.4 : 1;
  const scatter = pooledScatter(
    points,
    points.map(() => microvoltsPerRaw),
  );
  const noiseC = points.map((p, i) => scatter / Math.sqrt(p.readings) / (slopes[i] as number));

  // In degrees, so that the errors of the baths enter as they are.
  const floorC = 1e-4;
  const fit = fitLinear({
    design: emfs.map((e, i) => row(e.betweenMicrovolts).map((x) => x / (slopes[i] as number))),
    observed: points.map((p, i) => {
      const { betweenMicrovolts, coldMicrovolts } = emfs[i] as (typeof emfs)[number];
      return (
        (curve.emfMicrovolts(p.temperatureC) - coldMicrovolts - betweenMicrovolts) / (slopes[i] as number)
      );
    }),
    errors: pointCovariance(
      points,
      noiseC.map((n) => Math.hypot(n, floorC)),
    ),
  });
  const [offsetMicrovolts = 0, gain = 0] = fit.parameters;
  const fromC = Math.min(...points.map((p) => p.temperatureC));
  const toC = Math.max(...points.map((p) => p.temperatureC));

  const linesAt = (temperatureC: number): readonly BudgetLine[] => {
    const slope = curve.seebeckMicrovoltsPerC(temperatureC);
    const emf = curve.emfMicrovolts(temperatureC) - curve.emfMicrovolts(boardC);
    const phi = row(emf);
    const reach = points.map(
      (_, i) => phi.reduce((sum, x, j) => sum + x * (fit.estimator[j]?.[i] as number), 0) / slope,
    );
    const steps = hiddenSteps(scatter / chain.stepMicrovolts, chain.conversionsPerReading);
    const stepC = (steps * chain.stepMicrovolts) / Math.sqrt(3);
    const line = (source: string, distribution: BudgetLine['distribution'], u: number): BudgetLine => ({
      source,
      distribution,
      standardUncertaintyC: Math.abs(u),
    });
    const strayC = (t: number): number => toleranceLimitC(type, chain.wire, t) * wireFreedom(t, fromC, toC);
    // One wire strays one way: what it did at the points pulled the fit along.
    const limitC = points.reduce(
      (left, p, i) => left - (reach[i] as number) * strayC(p.temperatureC),
      strayC(temperatureC),
    );
    const coldC = (chain.coldJunctionLimitC * curve.seebeckMicrovoltsPerC(boardC)) / slope;
    return [
      ...bathLines(points, reach),
      ...points.map((_, i) =>
        line('noise at the points', 'normal', (reach[i] as number) * (noiseC[i] as number)),
      ),
      line('noise of one reading', 'normal', scatter / slope),
      line('resolution', 'rectangular', stepC / slope),
      ...points.map((_, i) =>
        line('resolution', 'rectangular', ((reach[i] as number) * stepC) / (slopes[i] as number)),
      ),
      line('cold junction away from the dock', 'rectangular', coldC / Math.sqrt(3)),
      line('amplifier', 'rectangular', (chain.gainLimit * Math.abs(emf)) / slope / Math.sqrt(3)),
      line(`wire (${chain.wire})`, 'rectangular', limitC / Math.sqrt(3)),
    ];
  };

  return {
    model: {
      kind: 'thermocouple',
      fitted: terms === 1 ? 'offset' : 'offset-and-gain',
      offsetMicrovolts,
      gain,
    },
    parameterNames: terms === 1 ? ['offsetMicrovolts'] : ['offsetMicrovolts', 'gain'],
    parameters: fit.parameters,
    covariance: fit.covariance ?? [],
    residualsC: points.map((p, i) => {
      const { betweenMicrovolts, coldMicrovolts } = emfs[i] as (typeof emfs)[number];
      const corrected = betweenMicrovolts * (1 + gain) + offsetMicrovolts + coldMicrovolts;
      return curve.temperatureC(corrected) - p.temperatureC;
    }),
    linesAt,
    validC: { from: Math.max(curve.minC + 20, -50), to: Math.min(curve.maxC, 1100) },
  };
}
