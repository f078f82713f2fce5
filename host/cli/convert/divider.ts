import { degreesPerCount, dividerOhms, thermistorTemperatureC } from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { textOption } from '../usual-options.js';
import { numberFrom } from './numbers.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';
import { thermistorFrom, thermistorOptions } from './thermistor-options.js';

/** Codes of the boards' own converter. */
const boardCodes = 1024;

/** The node's own transfer function: a code n is everything from n/1024 to (n + 1)/1024. The codes at the ends are rails. */
const middleOfCode = (code: number): number =>
  code <= 0 ? 0 : code >= boardCodes - 1 ? boardCodes : code + 0.5;

export const convertDivider = defineCommand({
  command: 'divider',
  describe: 'Counts of a ratiometric divider to ohms and, with a thermistor given, degrees',
  builder: (yargs) =>
    yargs
      .options({
        counts: { ...quantity('What the converter read'), demandOption: true },
        'full-scale': textOption(
          'The count of the whole supply, --counts then being a share of it; when absent --counts is a code of a 10-bit converter, as the boards have',
        ),
        'resistor-ohms': { ...textOption('The fixed resistor'), demandOption: true },
        'thermistor-side': {
          choices: ['low', 'high'] as const,
          default: 'low' as const,
          describe: 'low: thermistor to ground; high: thermistor to the supply',
        },
        'lead-ohms': { ...textOption('Both leads together, taken off'), default: '0' },
        ...thermistorOptions,
        ...outputOptions,
      })
      .example('$0 convert divider --counts 512 --resistor-ohms 10000 --r25-ohms 10000 --beta-k 3977', ''),
  handler: async (options) => {
    const law = thermistorFrom(options);
    const given = options.fullScale === undefined ? undefined : numberFrom(options.fullScale, '--full-scale');
    const fullScale = given ?? boardCodes;
    const divider = {
      resistorOhms: numberFrom(options.resistorOhms, '--resistor-ohms'),
      thermistorSide: options.thermistorSide,
      leadOhms: numberFrom(options.leadOhms, '--lead-ohms'),
    };
    await runConversion(options, { counts: options.counts }, (v) => {
      const ohms = dividerOhms(
        { counts: given === undefined ? middleOfCode(v.counts as number) : (v.counts as number), fullScale },
        divider,
      );
      if (!law) return { ohms };
      return {
        ohms,
        temperatureC: thermistorTemperatureC(law, ohms),
        degreesPerCount: degreesPerCount(ohms, fullScale, divider, law),
      };
    });
  },
});
