import { combined, coverageFactor95 } from '../../../calibration/index.js';
import { chance } from './chance.js';
import { randomThermistor } from './random-thermistor.js';
import { randomThermocouple } from './random-thermocouple.js';

const places = { thermistor: [0, 25, 75, 100], thermocouple: [25, 100, 300, 500] } as const;

export type Coverage = {
  readonly temperatureC: number;
  /** Share of calibrations whose stated 95 % interval held the truth. */
  readonly held: number;
  readonly meanExpandedC: number;
  /** Root mean square of the actual errors over the stated standard uncertainty; 1 when the budget is true. */
  readonly errorOverStated: number;
};

/** Calibrates `count` random probes and asks each at the places that matter. */
export function coverageOf(
  kind: keyof typeof places,
  points: 1 | 2 | 3,
  count: number,
  seed: number,
): readonly Coverage[] {
  const source = chance(seed);
  const make = kind === 'thermistor' ? randomThermistor : randomThermocouple;
  const sums = places[kind].map((temperatureC) => ({ temperatureC, held: 0, expanded: 0, squares: 0 }));
  for (let i = 0; i < count; i++) {
    const { calibration, readAt } = make(source, points);
    for (const sum of sums) {
      const lines = calibration.linesAt(sum.temperatureC);
      const standard = combined(lines);
      const expanded = coverageFactor95(lines) * standard;
      const error = readAt(sum.temperatureC) - sum.temperatureC;
      if (Math.abs(error) <= expanded) sum.held++;
      sum.expanded += expanded;
      sum.squares += (error / standard) ** 2;
    }
  }
  return sums.map(({ temperatureC, held, expanded, squares }) => ({
    temperatureC,
    held: held / count,
    meanExpandedC: expanded / count,
    errorOverStated: Math.sqrt(squares / count),
  }));
}
