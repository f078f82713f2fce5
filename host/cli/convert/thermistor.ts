import { thermistorOhms, thermistorTemperatureC } from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { exactlyOne } from './exactly-one.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';
import { requiredThermistor, thermistorOptions } from './thermistor-options.js';

export const convertThermistor = defineCommand({
  command: 'thermistor',
  describe: 'Ohms to degrees and back, by Steinhart-Hart or beta',
  builder: (yargs) =>
    yargs
      .options({
        ohms: quantity('Resistance in ohms'),
        'temperature-c': quantity('Temperature in C, to get the ohms'),
        ...thermistorOptions,
        ...outputOptions,
      })
      .example('$0 convert thermistor --ohms 5000 --r25-ohms 10000 --beta-k 3977', 'One value'),
  handler: async (options) => {
    exactlyOne(options, ['ohms', 'temperature-c']);
    const law = requiredThermistor(options);
    const { ohms, temperatureC } = options;
    await runConversion(options, { ohms, temperatureC }, (v) =>
      v.ohms === undefined
        ? { ohms: thermistorOhms(law, v.temperatureC as number) }
        : { temperatureC: thermistorTemperatureC(law, v.ohms) },
    );
  },
});
