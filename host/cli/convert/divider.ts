import { degreesPerCount, dividerOhms, thermistorTemperatureC } from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { numberFrom } from './numbers.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';
import { thermistorFrom, thermistorOptions } from './thermistor-options.js';

const number = (describe: string) => ({ type: 'string', requiresArg: true, describe }) as const;

export const convertDivider = defineCommand({
  command: 'divider',
  describe: 'Counts of a ratiometric divider to ohms and, with a thermistor given, degrees',
  builder: (yargs) =>
    yargs
      .options({
        counts: { ...quantity('What the converter read'), demandOption: true },
        'full-scale': { ...number('The count that stands for the whole supply'), default: '1023' },
        'resistor-ohms': { ...number('The fixed resistor'), demandOption: true },
        'thermistor-side': {
          choices: ['low', 'high'] as const,
          default: 'low' as const,
          describe: 'low: thermistor to ground; high: thermistor to the supply',
        },
        'lead-ohms': { ...number('Both leads together, taken off'), default: '0' },
        ...thermistorOptions,
        ...outputOptions,
      })
      .example('$0 convert divider --counts 512 --resistor-ohms 10000 --r25-ohms 10000 --beta-k 3977', ''),
  handler: async (options) => {
    const law = thermistorFrom(options);
    const fullScale = numberFrom(options.fullScale, '--full-scale');
    const divider = {
      resistorOhms: numberFrom(options.resistorOhms, '--resistor-ohms'),
      thermistorSide: options.thermistorSide,
      leadOhms: numberFrom(options.leadOhms, '--lead-ohms'),
    };
    await runConversion(options, { counts: options.counts }, (v) => {
      const ohms = dividerOhms({ counts: v.counts as number, fullScale }, divider);
      if (!law) return { ohms };
      return {
        ohms,
        temperatureC: thermistorTemperatureC(law, ohms),
        degreesPerCount: degreesPerCount(ohms, fullScale, divider, law),
      };
    });
  },
});
