import type { CalibrationPoint } from '../bath/point.js';
import type { BudgetLine } from '../budget/coverage-factor.js';
import { type Effect, eachPoint, oneError, smoothError } from './effect.js';
import { type DividerChain, hiddenSteps, nonlinearityCorrelation } from './input-chain.js';

/** Readings of a converter that repeat or scatter: noise and quantisation, in its own steps. */
export type Tremble = {
  readonly atPoints: readonly Effect[];
  readonly inUse: (cPerStep: number) => readonly BudgetLine[];
};

/**
 * Noise and resolution, from the scatter at the points. One reading in use is as noisy as the quietest point: what a bath
 * adds by its turbulence is no property of the probe, and a rough bath must not spoil what a calm one showed.
 */
export function trembleOf(
  points: readonly CalibrationPoint[],
  cPerStep: (temperatureC: number) => number,
  rawPerC: (temperatureC: number) => number,
  conversionsPerReading: number,
): Tremble {
  const steps = points.map((p) => {
    // Few readings know their own scatter badly: the variance of Student's t.
    const unsure = p.readings > 5 ? (p.readings - 1) / (p.readings - 3) : 2;
    return (p.scatter * Math.sqrt(unsure)) / rawPerC(p.temperatureC) / cPerStep(p.temperatureC);
  });
  const hidden = steps.map((s) => hiddenSteps(s, conversionsPerReading));
  const own = (i: number): number => cPerStep(points[i]?.temperatureC as number);
  const best = steps
    .map((s, i) => ({ noise: s, step: hidden[i] as number, sum: s * s + (hidden[i] as number) ** 2 / 3 }))
    .reduce((a, b) => (b.sum < a.sum ? b : a));
  return {
    atPoints: [
      eachPoint(
        'noise at the points',
        (i) => ((steps[i] as number) / Math.sqrt(points[i]?.readings as number)) * own(i),
      ),
      eachPoint('resolution at the points', (i) => ((hidden[i] as number) / Math.sqrt(3)) * own(i)),
    ],
    inUse: (here) => [
      { source: 'noise of one reading', distribution: 'normal', standardUncertaintyC: best.noise * here },
      // As a bell like the noise it trades with, so that less of the two together is never a wider interval.
      {
        source: 'resolution',
        distribution: 'normal',
        standardUncertaintyC: (best.step / Math.sqrt(3)) * here,
      },
    ],
  };
}

/**
 * Offset, gain and nonlinearity of the converter behind a divider. They are the same at the table and at sea, so that the points
 * take up their share. `placeAt` gives share of the scale and degrees per count at a temperature.
 */
export function converterEffects(
  chain: DividerChain,
  placeAt: (temperatureC: number) => { readonly share: number; readonly cPerCount: number },
): readonly Effect[] {
  const { bendCounts, fullScale, offsetCounts = 0, gainCounts = 0, supplyShare = 0 } = chain;
  return [
    oneError('converter offset', ({ temperatureC }) => offsetCounts * placeAt(temperatureC).cPerCount),
    oneError('converter gain', ({ temperatureC }) => {
      const { share, cPerCount } = placeAt(temperatureC);
      return gainCounts * share * cPerCount;
    }),
    oneError('supply', ({ temperatureC }) => {
      const { share, cPerCount } = placeAt(temperatureC);
      return ((supplyShare * share) / Math.sqrt(3)) * fullScale * cPerCount;
    }),
    smoothError(
      'converter nonlinearity',
      ({ temperatureC }) => bendCounts * placeAt(temperatureC).cPerCount,
      (a, b) => nonlinearityCorrelation(placeAt(a.temperatureC).share, placeAt(b.temperatureC).share),
    ),
  ];
}

/** What changes in a divider between the table and the engine room: its resistor's heat, and a supply that is not measured. */
export const dividerInUse = (
  { resistorPerC = 0, supplyShare = 0, fullScale }: DividerChain,
  cPerShareOfOhms: number,
  { share, cPerCount }: { readonly share: number; readonly cPerCount: number },
): readonly BudgetLine[] => [
  {
    source: 'resistor warmed by the engine room',
    distribution: 'rectangular',
    standardUncertaintyC: (roomWarmthC * resistorPerC * cPerShareOfOhms) / Math.sqrt(3),
  },
  {
    source: 'supply in use',
    distribution: 'rectangular',
    standardUncertaintyC: (supplyMoves * supplyShare * share * fullScale * cPerCount) / Math.sqrt(3),
  },
];

/** How much warmer or colder the board may be than at the table (20 C against -10 to 50 C). */
const roomWarmthC = 30;
/** One supply feeds table and engine room: this much of its tolerance may change between them (a judgement). */
const supplyMoves = 0.4;
