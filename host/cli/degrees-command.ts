import { chosenDegrees } from '../settings/chosen-degrees.js';
import { keepDegrees } from '../settings/keep-degrees.js';
import { settingsPath } from '../settings/settings-file.js';
import { degreesIn, scales } from '../wording/degrees.js';
import { defineCommand } from './define-command.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';

export const degreesCommand = defineCommand({
  ...summaries.degrees,
  when: 'Once, if you read Fahrenheit.',
  builder: (yargs) =>
    yargs
      .positional('scale', { choices: scales, describe: 'What you read; without it the choice is shown' })
      .options(storeOption)
      .example('$0 degrees fahrenheit', 'Kept in host.yaml')
      .epilogue(
        'For once: --degrees on any command. For a shell: ELBOWROOM_DEGREES. A choice made on the page counts in that browser.\nFiles for programs stay Celsius: --json, CSV, JSON lines, line protocol, NMEA, kit files and certificates.',
      ),
  handler: ({ scale, dataDir, degrees }) => {
    if (scale === undefined) {
      console.log(chosenDegrees({ degrees, dataDir }).scale);
      return;
    }
    keepDegrees(dataDir, scale);
    console.log(`${degreesIn(scale).sign} from now on, kept in ${settingsPath(dataDir)}.`);
    console.error('A host that runs takes it for page and messages at its next start.');
  },
});
