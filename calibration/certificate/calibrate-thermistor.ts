import { fitLinear } from '../fit/linear-fit.js';
import { selfHeatingC } from '../thermistor/divider.js';
import {
  type SteinhartHart4Law,
  type ThermistorLaw,
  thermistorOhms,
  thermistorSlopeCPerOhm,
  thermistorTemperatureC,
  zeroCelsiusK,
} from '../thermistor/laws.js';
import type { Calibration } from './calibration.js';
import type { BudgetLine } from './coverage-factor.js';
import { distinctTemperatures } from './distinct-temperatures.js';
import { bathLines, pointCovariance, pooledScatter } from './effects.js';
import {
  bendLikeness,
  type DividerChain,
  dissipationDifferenceWattsPerC,
  hiddenSteps,
  placeOnScale,
} from './input-chain.js';
import type { CalibrationPoint } from './point.js';

/** Standard uncertainty of the square coefficient: from a datasheet curve, and from a beta alone. */
const squareTermUncertainty = { curve: 0.1e-6, beta: 0.5e-6 } as const;
/** Tolerance of the slope (beta) of an unknown part, a rectangular 1 %. */
const slopeTolerance = 0.01 / Math.sqrt(3);

/**
 * Any law as four terms about its own resistance at 25 C. A beta says nothing of the curvature; it is taken from three
 * published materials (NTCLE100E3 and Amphenol 1, B25/85 = 3977 K: 2.5e-6; 103AT-2, 3435 K: 5.0e-6), straight between.
 */
export function shapeOf(law: ThermistorLaw): SteinhartHart4Law {
  if (law.law === 'steinhart-hart-4') return law;
  if (law.law === 'steinhart-hart') {
    const referenceOhms = thermistorOhms(law, 25);
    const l0 = Math.log(referenceOhms);
    return {
      law: 'steinhart-hart-4',
      a: law.a + l0 * (law.b + law.c * l0 * l0),
      b: law.b + 3 * law.c * l0 * l0,
      c: 3 * law.c * l0,
      d: law.c,
      referenceOhms,
    };
  }
  const c = 2.5e-6 + (3977 - law.betaK) * 4.6e-9;
  const d = 6.5e-8;
  const at25 = 1 / (zeroCelsiusK + 25);
  const at85 = 1 / (zeroCelsiusK + 85);
  const l = law.betaK * (at85 - at25);
  return {
    law: 'steinhart-hart-4',
    a: at25,
    b: (at85 - at25) / l - l * (c + l * d),
    c,
    d,
    referenceOhms: law.r25Ohms,
  };
}

/**
 * The curve of a thermistor through its points, anchored to the shape of its datasheet. One point moves it (offset in
 * ln R), two set resistance and beta, three and more the square term too; what the points cannot tell keeps its
 * datasheet value and its tolerance. Throws for no points, or points too close together.
 */
export function calibrateThermistor(
  nominal: ThermistorLaw,
  chain: DividerChain,
  points: readonly CalibrationPoint[],
): Calibration {
  const shape = shapeOf(nominal);
  const terms = Math.min(3, distinctTemperatures(points)) as 1 | 2 | 3;
  const lnRatio = (ohms: number): number => Math.log(ohms / shape.referenceOhms);
  const slopeOf = (l: number): number => shape.b + l * (2 * shape.c + l * 3 * shape.d);
  const row = (l: number): number[] => (terms === 1 ? [slopeOf(l)] : [1, l, l * l].slice(0, terms));
  const ls = points.map((p) => lnRatio(p.signal.raw));
  const kelvin = points.map((p) => p.temperatureC + zeroCelsiusK);

  const cPerOhm = points.map((p) => Math.abs(thermistorSlopeCPerOhm(shape, p.signal.raw)));
  const places = points.map((p) => placeOnScale(p.signal.raw, chain, shape));
  const countsPerOhm = places.map((place, i) => (cPerOhm[i] as number) / place.cPerCount);
  const scatterCounts = pooledScatter(points, countsPerOhm);
  const noiseC = points.map(
    (p, i) => (scatterCounts * (places[i]?.cPerCount as number)) / Math.sqrt(p.readings),
  );

  // In degrees: dT = -T^2 d(1/T), so each row is divided by the size of a degree.
  const perC = kelvin.map((k) => 1 / (k * k));
  const design = ls.map((l, i) => row(l).map((x) => x / (perC[i] as number)));
  const wanted = kelvin.map(
    (k, i) =>
      (1 / k - 1 / (thermistorTemperatureC(shape, points[i]?.signal.raw as number) + zeroCelsiusK)) /
      (perC[i] as number),
  );
  const floorC = 1e-4;
  const fit = fitLinear({
    design,
    observed: wanted,
    errors: pointCovariance(
      points,
      noiseC.map((n) => Math.hypot(n, floorC)),
    ),
  });
  const [p0 = 0, p1 = 0, p2 = 0] = fit.parameters;
  // One parameter: the offset in ln R itself, weighted as the linear answer weighs it, so that a point is met exactly.
  const lnOhmsOffset = points.reduce((sum, p, i) => {
    const weight = (fit.estimator[0]?.[i] as number) * ((design[i] as number[])[0] as number);
    return sum + weight * Math.log(p.signal.raw / thermistorOhms(shape, p.temperatureC));
  }, 0);
  const law: SteinhartHart4Law =
    terms === 1
      ? { ...shape, referenceOhms: shape.referenceOhms * Math.exp(lnOhmsOffset) }
      : { ...shape, a: shape.a + p0, b: shape.b + p1, c: shape.c + p2 };

  /** Sensitivity of the answer at ln-ratio l to the temperature of each point. */
  const reachAt = (l: number, k: number): number[] => {
    const phi = row(l);
    return points.map(
      (_, i) => k * k * phi.reduce((sum, x, j) => sum + x * (fit.estimator[j]?.[i] as number), 0),
    );
  };
  /** What is left in degrees of a change of the curve by `bump(l)` in 1/T once the points have pulled it back. */
  const leftOver = (bump: (l: number) => number, l: number, k: number, reach: readonly number[]): number =>
    k * k * bump(l) -
    ls.reduce((sum, li, i) => sum + (reach[i] as number) * bump(li) * (kelvin[i] as number) ** 2, 0);

  const linesAt = (temperatureC: number): readonly BudgetLine[] => {
    const ohms = thermistorOhms(law, temperatureC);
    const l = lnRatio(ohms);
    const k = temperatureC + zeroCelsiusK;
    const reach = reachAt(l, k);
    const here = placeOnScale(ohms, chain, law);
    const steps = hiddenSteps(scatterCounts, chain.conversionsPerReading);
    const square = nominal.law === 'beta' ? squareTermUncertainty.beta : squareTermUncertainty.curve;
    const heatC = selfHeatingC({
      ohms,
      supplyVolts: chain.supplyVolts,
      resistorOhms: chain.divider.resistorOhms,
      dissipationWattsPerC: dissipationDifferenceWattsPerC,
    });
    const line = (source: string, distribution: BudgetLine['distribution'], u: number): BudgetLine => ({
      source,
      distribution,
      standardUncertaintyC: Math.abs(u),
    });
    return [
      ...bathLines(points, reach),
      ...points.map((_, i) =>
        line('noise at the points', 'normal', (reach[i] as number) * (noiseC[i] as number)),
      ),
      line('noise of one reading', 'normal', scatterCounts * here.cPerCount),
      line('resolution', 'rectangular', (steps / Math.sqrt(3)) * here.cPerCount),
      ...points.map((_, i) =>
        line(
          'resolution',
          'rectangular',
          (steps / Math.sqrt(3)) * (reach[i] as number) * (places[i]?.cPerCount as number),
        ),
      ),
      line('converter', 'normal', chain.bendCounts * bendLeft(here, places, reach)),
      line('self-heating', 'rectangular', heatC / Math.sqrt(3)),
      ...(terms < 2
        ? [
            line(
              'beta of the part',
              'rectangular',
              slopeTolerance * shape.b * leftOver((x) => x, l, k, reach),
            ),
          ]
        : []),
      ...(terms < 3
        ? [line('shape of the curve', 'normal', square * leftOver((x) => x * x, l, k, reach))]
        : []),
    ];
  };

  return {
    model: {
      kind: 'thermistor',
      fitted: (['offset', 'resistance-and-beta', 'steinhart-hart'] as const)[terms - 1] as 'offset',
      law,
    },
    parameterNames: terms === 1 ? ['lnOhmsOffset'] : ['a', 'b', 'c'].slice(0, terms),
    parameters: terms === 1 ? [lnOhmsOffset] : [law.a, law.b, law.c].slice(0, terms),
    covariance: fit.covariance ?? [],
    residualsC: points.map((p) => thermistorTemperatureC(law, p.signal.raw) - p.temperatureC),
    linesAt,
    validC: {
      from: Math.max(-40, Math.min(...points.map((p) => p.temperatureC)) - 30),
      to: Math.min(200, Math.max(...points.map((p) => p.temperatureC)) + 80),
    },
  };
}

/** Standard deviation, in degrees per unit of bend, of the converter's bend here less what the points took up of it. */
function bendLeft(
  here: { readonly share: number; readonly cPerCount: number },
  places: readonly { readonly share: number; readonly cPerCount: number }[],
  reach: readonly number[],
): number {
  const nodes = [
    { share: here.share, weight: here.cPerCount },
    ...places.map((p, i) => ({ share: p.share, weight: -(reach[i] as number) * p.cPerCount })),
  ];
  let sum = 0;
  for (const a of nodes) for (const b of nodes) sum += a.weight * b.weight * bendLikeness(a.share, b.share);
  return Math.sqrt(Math.max(0, sum));
}
