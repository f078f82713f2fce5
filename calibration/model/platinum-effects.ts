import type { CalibrationPoint } from '../bath/point.js';
import {
  type PlatinumClass,
  platinumOhms,
  platinumOhmsPerC,
  platinumTemperatureC,
  platinumToleranceC,
} from '../platinum/law.js';
import { dividerCounts } from '../thermistor/divider.js';
import { converterEffects, dividerInUse, trembleOf } from './converter-effects.js';
import { oneError, remembered } from './effect.js';
import type { DividerChain } from './input-chain.js';
import type { ProbeKnowledge } from './probe-knowledge.js';

/** Two copper leads of unknown resistance, and how much their 0.4 %/K changes with an engine room 30 C away (ohms, as limits). */
const leads = { ohms: 0.5, changeOhms: 0.06 } as const;
/** Heat of the current in use beyond that in a stirred bath: film elements make 5 to 20 mW/K in water (common practice, no source). */
const dissipationDifferenceWattsPerC = 0.01;
/** Limit of the fixed resistor, as a share. */
const resistor = 0.01;

/** What is known of a Pt100 or Pt1000 in a divider before its points, and what changes in use. */
export function platinumKnowledge(
  { r0Ohms, grade }: { readonly r0Ohms: number; readonly grade: PlatinumClass },
  chain: DividerChain,
  points: readonly CalibrationPoint[],
): ProbeKnowledge {
  const fixed = chain.divider.resistorOhms;
  const ohmsAt = remembered((t) => platinumOhms(r0Ohms, t));
  const perC = remembered((t) => platinumOhmsPerC(r0Ohms, t));
  const placeAt = remembered((t) => ({
    share: dividerCounts(ohmsAt(t), 1, chain.divider),
    cPerCount: (ohmsAt(t) + fixed) ** 2 / (fixed * chain.fullScale) / perC(t),
  }));
  const tremble = trembleOf(points, (t) => placeAt(t).cPerCount, perC, chain.conversionsPerReading);
  const atZeroC = platinumToleranceC(grade, 0) / Math.sqrt(3);
  const perDegree = (platinumToleranceC(grade, 1) - platinumToleranceC(grade, 0)) / Math.sqrt(3);
  return {
    validC: { from: -50, to: 300 },
    stepC: 10,
    effects: [
      oneError(`element (class ${grade})`, () => atZeroC),
      oneError(`element (class ${grade})`, ({ temperatureC: t }) => perDegree * t),
      oneError('leads', ({ temperatureC: t }) => leads.ohms / Math.sqrt(3) / perC(t)),
      oneError('fixed resistor', ({ temperatureC: t }) => ((resistor / Math.sqrt(3)) * ohmsAt(t)) / perC(t)),
      ...converterEffects(chain, placeAt),
      ...tremble.atPoints,
    ],
    deviationC: ({ raw }, atC) => (raw - ohmsAt(atC)) / perC(atC),
    indicatedC: (trueC, deviationC) => platinumTemperatureC(r0Ohms, ohmsAt(trueC) + deviationC * perC(trueC)),
    inUse: (t) => [
      ...tremble.inUse(placeAt(t).cPerCount),
      {
        source: 'self-heating',
        distribution: 'rectangular',
        standardUncertaintyC:
          (chain.supplyVolts ** 2 * ohmsAt(t)) /
          (ohmsAt(t) + fixed) ** 2 /
          dissipationDifferenceWattsPerC /
          Math.sqrt(3),
      },
      {
        source: 'leads warmed by the engine room',
        distribution: 'rectangular',
        standardUncertaintyC: leads.changeOhms / Math.sqrt(3) / perC(t),
      },
      ...dividerInUse(chain, ohmsAt(t) / perC(t), placeAt(t)),
    ],
  };
}
