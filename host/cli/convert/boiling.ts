import {
  boilingC,
  hectopascalsTyped,
  standardPressureHectopascals,
  stationPressureHectopascals,
} from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { UsageError } from '../exit.js';
import { typedAltitude } from '../place-options.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';

export const convertBoiling = defineCommand({
  command: 'boiling',
  describe: 'Where water boils here, from station pressure, altitude, or QNH with altitude',
  builder: (yargs) =>
    yargs
      .options({
        'pressure-hpa': quantity(
          'Station pressure: what a barometer here reads, not set to sea level; 1009, 29.8inHg or 757mmHg',
        ),
        'qnh-hpa': quantity('Sea-level pressure of a weather report, 1013 or 29.92inHg, with --altitude-m'),
        'altitude-m': quantity(
          'Altitude in m, or such as 980ft; without a pressure, that of the standard atmosphere is taken',
        ),
        ...outputOptions,
      })
      .example('$0 convert boiling --qnh-hpa 1020 --altitude-m 300', 'A lake in the hills')
      .example('$0 convert boiling --pressure-hpa 29.1inHg', 'By the barometer on the bulkhead'),
  handler: async (options) => {
    const pressureHpa = inUnit(options.pressureHpa, (text) =>
      hectopascalsTyped(text, { name: '--pressure-hpa' }),
    );
    const qnhHpa = inUnit(options.qnhHpa, (text) =>
      hectopascalsTyped(text, { name: '--qnh-hpa', altitudeM: 0 }),
    );
    const altitudeM = inUnit(options.altitudeM, typedAltitude);
    if (pressureHpa !== undefined && (qnhHpa !== undefined || altitudeM !== undefined))
      throw new UsageError(
        '--pressure-hpa is the pressure of the place itself, so altitude and QNH say nothing more. A value from a weather report is --qnh-hpa.',
      );
    if (pressureHpa === undefined && altitudeM === undefined)
      throw new UsageError(
        qnhHpa === undefined
          ? 'Give --pressure-hpa, or --altitude-m, or --qnh-hpa with --altitude-m.'
          : '--qnh-hpa is reduced to sea level; give --altitude-m with it.',
      );
    await runConversion(options, { pressureHpa, qnhHpa, altitudeM }, (v) => {
      const stationPressureHpa =
        v.pressureHpa ??
        (v.qnhHpa === undefined
          ? standardPressureHectopascals(v.altitudeM as number)
          : stationPressureHectopascals({ qnhHectopascals: v.qnhHpa, altitudeM: v.altitudeM as number }));
      return { temperatureC: boilingC(stationPressureHpa), stationPressureHpa };
    });
  },
});

/** A value with its unit as the number that a conversion takes; a column of lines stays `-`. */
const inUnit = (text: string | undefined, read: (text: string) => number): string | undefined =>
  text === undefined || text === '-' ? text : `${read(text)}`;
