import { ad8495TemperatureC, ad8495Volts, max31855TemperatureC } from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { exactlyOne } from './exactly-one.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';

export const convertAd8495 = defineCommand({
  command: 'ad8495',
  describe: 'Volts of an AD8495 (type K) to degrees and back, corrected for the curve',
  builder: (yargs) =>
    yargs
      .options({
        volts: quantity('Output voltage'),
        'temperature-c': quantity('Temperature in C, to get the volts'),
        'board-c': { ...quantity('Temperature of the chip'), default: '25' },
        'reference-volts': { ...quantity('Voltage at its REF pin'), default: '0' },
        ...outputOptions,
      })
      .example('$0 convert ad8495 --volts 1.25', 'One value'),
  handler: async (options) => {
    exactlyOne(options, ['volts', 'temperature-c']);
    const { volts, temperatureC, boardC, referenceVolts } = options;
    await runConversion(options, { volts, temperatureC, boardC, referenceVolts }, (v) => {
      const at = { boardC: v.boardC as number, referenceVolts: v.referenceVolts as number };
      return v.volts === undefined
        ? { volts: ad8495Volts({ temperatureC: v.temperatureC as number, ...at }) }
        : { temperatureC: ad8495TemperatureC({ volts: v.volts, ...at }) };
    });
  },
});

export const convertMax31855 = defineCommand({
  command: 'max31855',
  describe: 'What a MAX31855K reports to true degrees, its straight line undone',
  builder: (yargs) =>
    yargs.options({
      'reported-c': { ...quantity('Hot-junction temperature the chip reports'), demandOption: true },
      'cold-junction-c': { ...quantity('Cold-junction temperature it reports'), demandOption: true },
      ...outputOptions,
    }),
  handler: async (options) => {
    const { reportedC, coldJunctionC } = options;
    await runConversion(options, { reportedC, coldJunctionC }, (v) => ({
      temperatureC: max31855TemperatureC({
        reportedC: v.reportedC as number,
        coldJunctionC: v.coldJunctionC as number,
      }),
    }));
  },
});
