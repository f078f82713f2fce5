import { convertAd8495, convertMax31855 } from './convert/amplifiers.js';
import { convertBoiling } from './convert/boiling.js';
import { convertDivider } from './convert/divider.js';
import { convertThermistor } from './convert/thermistor.js';
import { convertThermocouple } from './convert/thermocouple.js';
import { defineCommand } from './define-command.js';
import { summaries } from './summaries.js';

export const convertCommand = defineCommand({
  ...summaries.convert,
  when: 'To check one value of a meter against the published tables. It changes nothing.',
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
      )
      .example(
        '$0 convert thermistor --r25-ohms 10000 --beta-k 3977 --ohms 2200',
        'The temperature of a resistance read with a meter',
      )
      .example('$0 convert boiling --pressure-hpa 1009', 'Where water boils today'),
  handler: () => undefined,
});
