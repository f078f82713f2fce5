import { systemClock } from '../../node/index.js';
import { destinationsOf } from '../outputs/destinations.js';
import { composeTrial } from '../outputs/messages/compose.js';
import type { Destination } from '../outputs/messages/message.js';
import { reasonOf } from '../outputs/messages/outbox.js';
import { messageId } from '../outputs/messages/start-messages.js';
import { instrumentNames } from '../outputs/output-names.js';
import { exampleHostSettings } from '../settings/example.js';
import { readHostSettings } from '../settings/read-settings.js';
import { SettingsError, settingsPath } from '../settings/settings-file.js';
import { type Degrees, degreesIn } from '../wording/degrees.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { flagOption, jsonOption } from './usual-options.js';

/** The result of one test message. */
type Trial = { readonly destination: string; readonly taken: boolean; readonly detail?: string };

export const outputsCommand = defineCommand({
  ...summaries.outputs,
  when: 'After host.yaml was written or changed, and before the boat is left alone.',
  caution:
    "A message can come late or not at all: it does not replace somebody aboard, nor the engine's own alarms.",
  builder: (yargs) =>
    yargs
      .options(storeOption)
      .option('test', flagOption('Send a test message now'))
      .options(jsonOption)
      .example('$0 outputs', 'What would leave the boat, without starting anything')
      .example('$0 outputs --test', 'Whether the messages arrive')
      .epilogue(
        `host.yaml is in the data folder; every part may be left out. Secrets are in files of their own, chmod 600.\n\n${exampleHostSettings}`,
      ),
  handler: async ({ dataDir, test, json }) => {
    const { settings, destinations } = read(dataDir);
    const trials = test
      ? await Promise.all(destinations.map((d) => tryOut(d, degreesIn(settings.degrees ?? 'celsius'))))
      : [];
    const outputs = [...instrumentNames(settings), ...destinations.map((d) => d.name)];
    if (json) console.log(JSON.stringify({ file: settingsPath(dataDir), outputs, trials }));
    else {
      console.log(
        outputs.length === 0
          ? `Nothing leaves the host: ${settingsPath(dataDir)} names no output.`
          : outputs.join('\n'),
      );
      for (const { destination, taken, detail } of trials)
        console.log(`${destination}: ${taken ? 'taken' : `NOT taken: ${detail}`}`);
    }
    const failed = trials.filter((t) => !t.taken);
    if (failed.length > 0)
      throw new UnavailableError(`${failed.length} of ${trials.length} test messages did not get through.`);
  },
});

const read = (dataDir: string) => {
  try {
    const settings = readHostSettings(dataDir);
    return {
      settings,
      destinations: settings.messages ? destinationsOf(settings.messages, dataDir, systemClock) : [],
    };
  } catch (error) {
    if (error instanceof SettingsError) throw new UsageError(error.message);
    throw error;
  }
};

const tryOut = async (destination: Destination, degrees: Degrees): Promise<Trial> => {
  const nowMs = systemClock.wallMs();
  const scene = { boat: 'Trial', invented: false, nowMs, degrees, active: [], readings: [], givenUp: 0 };
  try {
    await destination.deliver(composeTrial(scene, messageId(nowMs)));
    return { destination: destination.name, taken: true };
  } catch (error) {
    return { destination: destination.name, taken: false, detail: reasonOf(error) };
  }
};
