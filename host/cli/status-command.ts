import { readFileSync } from 'node:fs';
import { systemClock } from '../../node/index.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { hostFolderIn } from '../settings/data-folders.js';
import { adviceOn } from '../status/advice.js';
import { gatherStatus } from '../status/gather-status.js';
import { statusText } from '../status/status-text.js';
import { defineCommand } from './define-command.js';
import { BadAnswerError, UsageError } from './exit.js';
import { summaries } from './summaries.js';
import { proseWidth } from './terminal-width.js';
import { boatDataOption, jsonOption, kitOption } from './usual-options.js';

export const statusCommand = defineCommand({
  ...summaries.status,
  when: 'Before you cast off, and whenever in doubt. It changes nothing.',
  caution: "It does not replace the engine's own alarms, nor the chirp of the buzzer as an engine starts.",
  builder: (yargs) =>
    yargs
      .options(kitOption)
      .options(boatDataOption)
      .option('node', { type: 'string', describe: 'host:port of the node; as the kit has it unless given' })
      .option('page', {
        type: 'string',
        default: 'http://127.0.0.1:8470',
        describe: 'Where the page is, for the outputs and what is due',
      })
      .option('token-file', {
        type: 'string',
        describe: 'A file with a token of the page (elbowroom access --token), where it asks for one',
      })
      .options(jsonOption)
      .epilogue('Exit code 1 when something needs a person.')
      .example('$0 status', 'In the boat’s folder')
      .example('$0 status --json', 'For a script'),
  handler: async (options) => {
    const { kit, dataDir, node, page, tokenFile, json } = options;
    const status = await gatherStatus({
      kitPath: kit,
      dataDir,
      nodeAddress: node,
      pageUrl: urlOf(page),
      token: tokenFile === undefined ? undefined : tokenIn(tokenFile),
      degrees: chosenDegrees({ ...options, dataDir: hostFolderIn(dataDir) }),
      clock: systemClock,
    });
    const advice = adviceOn(status);
    console.log(json ? JSON.stringify({ ...status, ...advice }) : statusText(status, proseWidth()));
    const { length } = advice.needed;
    if (length > 0)
      throw new BadAnswerError(`${length} ${length === 1 ? 'thing needs' : 'things need'} you.`);
  },
});

const urlOf = (text: string): string => {
  if (URL.canParse(text) && /^https?:/.test(text)) return text;
  throw new UsageError(`--page ${text} is no address of a page. For example: --page http://127.0.0.1:8470`);
};

const tokenIn = (path: string): string => {
  try {
    return readFileSync(path, 'utf8').trim();
  } catch (error) {
    throw new UsageError(`--token-file ${path} cannot be read: ${(error as Error).message}`);
  }
};
