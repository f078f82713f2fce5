import {
  hotJunctionC,
  measuredEmfMicrovolts,
  thermocoupleCurve,
  thermocoupleTypes,
} from '../../../calibration/index.js';
import { defineCommand } from '../define-command.js';
import { exactlyOne } from './exactly-one.js';
import { outputOptions, quantity, runConversion } from './run-conversion.js';

export const convertThermocouple = defineCommand({
  command: 'thermocouple',
  describe: 'EMF to degrees and back, letter types B E J K N R S T (ITS-90)',
  builder: (yargs) =>
    yargs
      .options({
        type: { choices: thermocoupleTypes, demandOption: true, describe: 'Letter type' },
        'emf-mv': quantity('EMF in millivolts'),
        'temperature-c': quantity('Temperature in C, to get the EMF'),
        'cold-junction-c': quantity('Temperature of the cold junction; 0 when absent'),
        ...outputOptions,
      })
      .example('$0 convert thermocouple --type K --emf-mv 4.096 --cold-junction-c 25', 'One value')
      .example('cat mv.txt | $0 convert thermocouple --type K --emf-mv -', 'One value a line'),
  handler: async (options) => {
    exactlyOne(options, ['emf-mv', 'temperature-c']);
    const { type, emfMv, temperatureC, coldJunctionC = '0' } = options;
    const curve = thermocoupleCurve(type);
    await runConversion(options, { emfMv, temperatureC, coldJunctionC }, (v) => {
      const coldC = v.coldJunctionC as number;
      if (v.emfMv === undefined) {
        const hotC = v.temperatureC as number;
        return { emfMv: measuredEmfMicrovolts({ type, temperatureC: hotC, coldJunctionC: coldC }) / 1000 };
      }
      const hotC = hotJunctionC({ type, emfMicrovolts: v.emfMv * 1000, coldJunctionC: coldC });
      return emfMv === '-'
        ? { temperatureC: hotC }
        : { temperatureC: hotC, seebeckMicrovoltsPerC: curve.seebeckMicrovoltsPerC(hotC) };
    });
  },
});
