import { readFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { type GuardSettings, loadKit, parseBaseline, settingsFromKit } from '../../node/index.js';
import { replay } from '../replay/replay.js';
import { replayText } from '../replay/replay-text.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { defineCommand } from './define-command.js';
import { recordedHistory } from './recorded-history.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { jsonOption, spanOptions } from './usual-options.js';

export const replayCommand = defineCommand({
  ...summaries.replay,
  when: 'Before setpoints are changed, and after an alert that you want to understand.',
  builder: (yargs) =>
    yargs
      .options(spanOptions)
      .option('kit', {
        type: 'string',
        default: 'kit.yaml',
        describe: 'The kit file that names the probes',
      })
      .option('settings', {
        type: 'string',
        describe: 'A kit file with other limits to try instead of the one in use',
      })
      .option('import', {
        type: 'string',
        describe:
          'A file instead of the store: whatever elbowroom import takes, such as CSV time,probe,temperatureC',
      })
      .options(storeOption)
      .options(jsonOption)
      .example('$0 replay --from 2026-05-01T00:00:00Z --to 2026-06-01T00:00:00Z', 'A month of the store')
      .example('$0 replay --import log.csv --kit kit.yaml --json', 'Somebody else’s logbook')
      .example('$0 replay --settings lower-limits.yaml', 'What lower limits would have done'),
  handler: async (options) => {
    const { from, to, kit, settings: settingsPath, import: csvPath, dataDir, json } = options;
    const { node, settings } = settingsAt(settingsPath ?? kit);
    const history = await recordedHistory({ from, to, csvPath, dataDir, node }, settings);
    const replayed = replay(history, settings);
    if (replayed.passes === 0)
      console.error('There is no reading of the kit’s probes in this span, so there was nothing to judge.');
    console.log(json ? JSON.stringify(replayed) : replayText(replayed, chosenDegrees(options)));
  },
});

/** The settings a node would have with this kit file and the baseline it names. */
function settingsAt(kitPath: string): { readonly node: string; readonly settings: GuardSettings } {
  const kit = loadKit(kitPath);
  const { node, baseline } = kit;
  if (baseline === undefined) return { node, settings: settingsFromKit(kit) };
  const path = resolve(dirname(kitPath), baseline);
  return { node, settings: settingsFromKit(kit, parseBaseline(readFileSync(path, 'utf8'), path)) };
}
