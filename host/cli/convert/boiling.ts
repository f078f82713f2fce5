import {
  boilingC,
  standardPressureHectopascals,
  stationPressureHectopascals,
} from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { UsageError } from '../exit.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';

export const convertBoiling = defineCommand({
  command: 'boiling',
  describe: 'Where water boils here, from station pressure, altitude, or QNH with altitude',
  builder: (yargs) =>
    yargs
      .options({
        'pressure-hpa': quantity('Station pressure: what a barometer here reads, not set to sea level'),
        'qnh-hpa': quantity('Sea-level pressure of a weather report, with --altitude-m'),
        'altitude-m': quantity('Altitude of the place; alone it stands for the standard atmosphere'),
        ...outputOptions,
      })
      .example('$0 convert boiling --qnh-hpa 1020 --altitude-m 300', 'A lake in the hills'),
  handler: async (options) => {
    const { pressureHpa, qnhHpa, altitudeM } = options;
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
