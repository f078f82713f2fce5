import {
  boardDivider,
  calibrateThermistor,
  shapeOf,
  type ThermistorLaw,
  thermistorOhms,
  thermistorTemperatureC,
} from '../../../calibration/index.js';
import { type Chance, smoothCurve } from './chance.js';
import { type CalibratedProbe, pointFrom, randomBaths } from './random-sessions.js';

const plans = [['ice'], ['ice', 'boiling'], ['ice', 'boiling', 'reference']] as const;

/**
 * A thermistor of 5 % and 1 % beta on a 10-bit converter with noise, steps and a bent scale, calibrated in baths that
 * are not quite what they seem. Written from the physics; shares no formula with the budget it is to test.
 */
export function randomThermistor(chance: Chance, points: 1 | 2 | 3): CalibratedProbe {
  const { within, bell, uniform } = chance;
  const betaOnly = uniform() < 0.5;
  const nominal: ThermistorLaw = betaOnly
    ? { law: 'beta', r25Ohms: 10_000, betaK: 3400 + 600 * uniform() }
    : {
        law: 'steinhart-hart-4',
        a: 0.003354016,
        b: 0.000256985,
        c: 2.620131e-6,
        d: 6.383091e-8,
        referenceOhms: 10_000,
      };
  const shape = shapeOf(nominal);
  const part: ThermistorLaw = {
    ...shape,
    referenceOhms: shape.referenceOhms * Math.exp(0.05 * within()),
    b: shape.b * (1 + 0.01 * within()),
    c: shape.c + (betaOnly ? 0.5e-6 : 0.1e-6) * bell(),
  };
  const trueResistor = 10_000 * (1 + 0.01 * within());
  const bend = smoothCurve(chance, 0.15);
  const bendCounts = 0.5 / Math.sqrt(3);
  const noiseCounts = 0.4 + uniform();
  const heat = within();

  /** One reading: the mean of ten conversions in a second, as ohms by the resistor printed on the bag. */
  const read = (bodyC: number): number => {
    const ohms = thermistorOhms(part, bodyC);
    const share = ohms / (ohms + trueResistor);
    const bent = share * 1024 + bendCounts * bend(share);
    let sum = 0;
    for (let i = 0; i < 10; i++) {
      const level = bent + noiseCounts * bell();
      sum += Math.min(1023, Math.max(0, Math.floor(level))) + 0.5;
    }
    const mean = sum / 10;
    return (10_000 * mean) / (1024 - mean);
  };

  const settled = randomBaths(chance, plans[points - 1] ?? plans[1]).map(({ believed, trueC }) =>
    pointFrom(
      believed,
      Array.from({ length: 40 }, () => read(trueC)),
      'ohm',
    ),
  );
  const chain = boardDivider({ resistorOhms: 10_000, thermistorSide: 'low' });
  const calibration = calibrateThermistor(nominal, chain, settled);
  return {
    calibration,
    readAt: (trueC) => {
      const ohms = thermistorOhms(part, trueC);
      const watts = (25 * ohms) / (ohms + trueResistor) ** 2;
      const { model } = calibration;
      if (model.kind !== 'thermistor') throw new Error('a thermistor got the model of a thermocouple');
      return thermistorTemperatureC(model.law, read(trueC + (heat * watts) / 0.01));
    },
  };
}
