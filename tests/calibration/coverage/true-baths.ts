import { doubtAboutPressure } from '../../../calibration/bath/pressure-check.js';
import {
  type Bath,
  boilingBath,
  boilingC,
  iceBath,
  type Pressure,
  referenceBath,
  standardPressureHectopascals,
} from '../../../calibration/index.js';
import type { Chance } from './chance.js';
import type { Conditions } from './conditions.js';

/** A bath as the owner believes it to be, and as it is. */
export type TrueBath = { readonly believed: Bath; readonly trueC: number };

/** The baths of one session: ice, boiling water and, where wanted, one beside a thermometer at about 60 C. */
export function trueBaths(chance: Chance, conditions: Conditions): readonly TrueBath[] {
  let { pressure, truePressure } = weather(chance, conditions.pressure);
  // What is questioned at the table is not taken: such an owner looks again, and this is about the others.
  while (isDoubted(pressure)) ({ pressure, truePressure } = weather(chance, conditions.pressure));
  const baths: TrueBath[] = [
    { believed: iceBath(), trueC: conditions.ice(chance) },
    { believed: boilingBath(pressure), trueC: boilingC(truePressure) + conditions.boil(chance) },
  ];
  const { thirdBath } = conditions;
  if (thirdBath === undefined) return baths;
  const trueC = 55 + 10 * chance.uniform();
  const readC = trueC + thirdBath * chance.bell() + 0.1 * chance.within();
  return [...baths, { believed: referenceBath(readC, thirdBath, 3), trueC }];
}

const isDoubted = (pressure: Pressure): boolean =>
  pressure.from === 'station' &&
  doubtAboutPressure({ value: pressure.hectopascals, ...pressure }) !== undefined;

/** The weather, and what the owner makes of it: a barometer aboard, a report with the altitude, or the altitude alone. */
function weather(
  { bell, uniform }: Chance,
  habit: Conditions['pressure'],
): { pressure: Pressure; truePressure: number } {
  const altitudeM = habit === 'careful' ? 400 * uniform() ** 2 : 300 * uniform();
  const qnh = 1013 + 10 * bell();
  const truePressure = qnh * (standardPressureHectopascals(altitudeM) / 1013.25);
  if (habit === 'sea level typed as station, no altitude')
    return { truePressure, pressure: { from: 'station', hectopascals: qnh } };
  if (habit !== 'careful')
    return { truePressure, pressure: { from: 'station', hectopascals: qnh, altitudeM } };
  const kind = uniform();
  if (kind < 0.4)
    return {
      truePressure,
      pressure: {
        from: 'station',
        hectopascals: truePressure + 0.6 * bell(),
        altitudeM,
        // Half of them look into the weather report, too.
        ...(kind < 0.2 && { qnhHectopascals: qnh }),
      },
    };
  if (kind < 0.9)
    return { truePressure: truePressure + bell(), pressure: { from: 'qnh', hectopascals: qnh, altitudeM } };
  return { truePressure, pressure: { from: 'altitude', altitudeM } };
}
