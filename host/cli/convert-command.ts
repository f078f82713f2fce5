import { convertAd8495, convertMax31855 } from './convert/amplifiers.js';
import { convertBoiling } from './convert/boiling.js';
import { convertDivider } from './convert/divider.js';
import { convertThermistor } from './convert/thermistor.js';
import { convertThermocouple } from './convert/thermocouple.js';
import { defineCommand } from './define-command.js';

export const convertCommand = defineCommand({
  command: 'convert',
  describe: 'Convert one value, or a stream of lines on stdin, between electrical quantities and degrees',
  builder: (yargs) =>
    yargs
      .command(convertThermocouple)
      .command(convertThermistor)
      .command(convertDivider)
      .command(convertAd8495)
      .command(convertMax31855)
      .command(convertBoiling)
      .demandCommand(
        1,
        'Say what to convert: thermocouple, thermistor, divider, ad8495, max31855 or boiling.',
      ),
  handler: () => undefined,
});
