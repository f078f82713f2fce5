import { createInterface } from 'node:readline/promises';
import type { Pressure } from '../../calibration/index.js';
import { UsageError } from './exit.js';
import { pressureFrom } from './place-options.js';

/** The pressure from the options, or asked for when a person sits at the terminal. */
export async function askedPressure(options: Parameters<typeof pressureFrom>[0]): Promise<Pressure> {
  const given = pressureFrom(options);
  if (given) return given;
  if (!process.stdin.isTTY)
    throw new UsageError(
      'Where water boils depends on the air: give --pressure-hpa, --qnh-hpa with --altitude-m, or --altitude-m.',
    );
  const ask = createInterface({ input: process.stdin, output: process.stderr });
  try {
    const station = await ask.question(
      'Pressure of a barometer aboard that is NOT set to sea level, hPa (empty if you have none): ',
    );
    if (station.trim() !== '') return pressureFrom({ pressureHpa: station }) as Pressure;
    const altitudeM = await ask.question('Altitude of this place, m: ');
    const qnh = await ask.question('Sea-level pressure from the weather report, hPa (empty if unknown): ');
    return pressureFrom({ altitudeM, ...(qnh.trim() === '' ? {} : { qnhHpa: qnh }) }) as Pressure;
  } finally {
    ask.close();
  }
}
