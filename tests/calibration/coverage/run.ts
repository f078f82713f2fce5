/** `npm run coverage:calibration [count]`: the whole coverage table, 20,000 calibrations a row unless told otherwise. */
import { coverageOf } from './coverage.js';

const count = Number(process.argv[2] ?? 20_000);
console.log(`${count} calibrations each; stated 95 % interval held the truth:`);
for (const kind of ['thermistor', 'thermocouple'] as const)
  for (const points of [1, 2, 3] as const)
    for (const { temperatureC, held, meanExpandedC, errorOverStated } of coverageOf(
      kind,
      points,
      count,
      2026,
    ))
      console.log(
        `${kind.padEnd(12)} ${points} points, ${`${temperatureC}`.padStart(3)} C: ${(100 * held).toFixed(2)} %   +-${meanExpandedC.toFixed(2)} C   rms error / stated ${errorOverStated.toFixed(3)}`,
      );
