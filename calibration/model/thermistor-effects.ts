import type { CalibrationPoint } from '../bath/point.js';
import { degreesPerCount, dividerCounts, selfHeatingC } from '../thermistor/divider.js';
import type { ThermistorLaw } from '../thermistor/law-schema.js';
import {
  thermistorOhms,
  thermistorSlopeCPerOhm,
  thermistorTemperatureC,
  zeroCelsiusK,
} from '../thermistor/laws.js';
import { shapeOf, shapeTerms } from '../thermistor/shape.js';
import { converterEffects, dividerInUse, trembleOf } from './converter-effects.js';
import { oneError, remembered } from './effect.js';
import { type DividerChain, dissipationDifferenceWattsPerC } from './input-chain.js';
import type { ProbeKnowledge } from './probe-knowledge.js';

/** Indications are held within what every thermistor law answers. */
const [lowestC, highestC] = [-90, 300];

/** Limits of a part off the shelf and of the resistor beside it, as shares: resistance, resistor, slope (beta). */
const part = { resistance: 0.05, resistor: 0.01, beta: 0.01 } as const;
/** What is known of a thermistor in a divider before its points, and what changes in use. */
export function thermistorKnowledge(
  nominal: ThermistorLaw,
  chain: DividerChain,
  points: readonly CalibrationPoint[],
): ProbeKnowledge {
  const law = shapeOf(nominal);
  const ohmsAt = remembered((t) => thermistorOhms(law, t));
  const [mostOhms, leastOhms] = [ohmsAt(lowestC), ohmsAt(highestC)];
  /** Degrees per unit of ln R (positive). */
  const cPerLn = remembered((t) => -thermistorSlopeCPerOhm(law, ohmsAt(t)) * ohmsAt(t));
  const inKelvinSquares = (t: number, power: number): number =>
    (t + zeroCelsiusK) ** 2 * Math.log(ohmsAt(t) / law.referenceOhms) ** power;
  const placeAt = remembered((t) => ({
    share: dividerCounts(ohmsAt(t), 1, chain.divider),
    cPerCount: degreesPerCount(ohmsAt(t), chain.fullScale, chain.divider, law),
  }));
  const [square, cube] = shapeTerms[nominal.law === 'beta' ? 'beta' : 'curve'];
  const share = Math.hypot(part.resistance, part.resistor) / Math.sqrt(3);
  const tremble = trembleOf(
    points,
    (t) => placeAt(t).cPerCount,
    (t) => ohmsAt(t) / cPerLn(t),
    chain.conversionsPerReading,
  );
  return {
    law,
    validC: { from: -40, to: 200 },
    stepC: 5,
    effects: [
      oneError('resistance of the part', ({ temperatureC: t }) => share * cPerLn(t)),
      oneError(
        'beta of the part',
        ({ temperatureC: t }) => ((part.beta * law.b) / Math.sqrt(3)) * inKelvinSquares(t, 1),
      ),
      oneError('shape of the curve', ({ temperatureC: t }) => square * inKelvinSquares(t, 2)),
      oneError('shape of the curve', ({ temperatureC: t }) => cube * inKelvinSquares(t, 3)),
      ...converterEffects(chain, placeAt),
      ...tremble.atPoints,
    ],
    deviationC: ({ raw }, atC) => cPerLn(atC) * Math.log(ohmsAt(atC) / raw),
    // Where a divider hardly resolves the resistance, an error of the converter may reach beyond any thermistor.
    indicatedC: (trueC, deviationC) =>
      thermistorTemperatureC(
        law,
        Math.min(mostOhms, Math.max(leastOhms, ohmsAt(trueC) * Math.exp(-deviationC / cPerLn(trueC)))),
      ),
    inUse: (t) => [
      ...tremble.inUse(placeAt(t).cPerCount),
      {
        source: 'self-heating',
        distribution: 'rectangular',
        standardUncertaintyC:
          selfHeatingC({
            ohms: ohmsAt(t),
            supplyVolts: chain.supplyVolts,
            resistorOhms: chain.divider.resistorOhms,
            dissipationWattsPerC: dissipationDifferenceWattsPerC,
          }) / Math.sqrt(3),
      },
      ...dividerInUse(chain, cPerLn(t), placeAt(t)),
    ],
  };
}
