import {
  boilingSlopeCPerHectopascal,
  type Pressure,
  seaLevelDoubtHectopascals,
  stationPressureOf,
} from '../../calibration/index.js';
import { interview } from './ask.js';
import { exitCodeOf, exitCodes, UsageError } from './exit.js';
import { pressureFrom } from './place-options.js';

/** The pressure from the options, or asked for when a person sits at the terminal. What contradicts itself is asked again. */
export async function askedPressure(options: Parameters<typeof pressureFrom>[0]): Promise<Pressure> {
  const given = pressureFrom(options);
  if (given) {
    const doubtC = seaLevelDoubtHectopascals(given) * boilingSlopeCPerHectopascal(stationPressureOf(given));
    if (doubtC > 0.05)
      console.error(
        `A barometer set to sea level would be ${doubtC.toFixed(1)} C wrong at the boil here, and this one may be. Give ${given.altitudeM === undefined ? '--altitude-m, and ' : ''}the weather report as --qnh-hpa too, or the certificate includes that error.`,
      );
    return given;
  }
  if (!process.stdin.isTTY)
    throw new UsageError(
      'The boiling point depends on air pressure: give --altitude-m with --pressure-hpa or --qnh-hpa, or alone.',
    );
  return interview(async (ask) => {
    for (;;) {
      const altitudeM = await ask('Altitude of this place above the sea, in m or such as 980 ft: ');
      const station = await ask(
        'Pressure of a barometer here that is NOT set to sea level, such as 1009 or 29.8inHg (empty if you have none): ',
      );
      const qnh = await ask('Sea-level pressure of the weather report, hPa (empty if unknown): ');
      try {
        const pressure = pressureFrom({
          altitudeM,
          ...(station.trim() !== '' && { pressureHpa: station }),
          ...(qnh.trim() !== '' && { qnhHpa: qnh }),
        });
        if (pressure) return pressure;
      } catch (error) {
        if (exitCodeOf(error) !== exitCodes.usage) throw error;
        console.error(`${(error as Error).message}\n`);
      }
    }
  });
}
