import { createInterface } from 'node:readline';
import { makeFolder } from '../files/make-folder.js';
import {
  type Access,
  addToken,
  readAccess,
  revokeToken,
  roles,
  setPassPhrase,
  someoneMayAct,
} from '../serve/access/access-file.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { flagOption, textOption } from './usual-options.js';

export const accessCommand = defineCommand({
  ...summaries.access,
  when: 'Before the page listens wider than this computer (elbowroom watch --page-listen), and to change a pass-phrase.',
  caution:
    'Anyone with the pass-phrase to act can silence an alarm and change its limits: give it only to people on watch.',
  builder: (yargs) =>
    yargs
      .options(storeOption)
      .option('role', {
        choices: roles,
        default: 'act' as const,
        describe: 'watch sees everything; act may also acknowledge, silence and change',
      })
      .option('token', {
        type: 'string',
        describe: 'Make a token of this name instead, for `Authorization: Bearer TOKEN`',
      })
      .option('list', flagOption('Show who has access, and change nothing'))
      .option('revoke', textOption('Revoke the token of this name'))
      .check(
        ({ list, token, revoke }) =>
          [list === true, token !== undefined, revoke !== undefined].filter(Boolean).length <= 1 ||
          'Give one of --list, --revoke and --token.',
      )
      .example('$0 access --list', 'which pass-phrases are set, and each token with its role')
      .example('$0 access --revoke plotter', 'that program may no longer sign in')
      .example('$0 access --role watch', 'asks for the pass-phrase of the role')
      .example('echo "four words no one guesses" | $0 access', 'takes it from standard input'),
  handler: async ({ dataDir, role, token, list, revoke }) => {
    if (list) {
      console.log(whoHasAccess(readAccess(dataDir)));
      return;
    }
    if (revoke !== undefined) {
      revokeToken(dataDir, revoke);
      console.error(`The token ${revoke} is revoked from now on.`);
      warnIfNoOneMayAct(dataDir);
      return;
    }
    try {
      makeFolder(dataDir);
    } catch (error) {
      throw new UnavailableError(
        `Cannot make the data folder ${dataDir} (${(error as Error).message}). Name the host's own with --data-dir.`,
        { cause: error },
      );
    }
    if (token !== undefined) {
      console.log(addToken(dataDir, token, role));
      console.error(
        `This is the token ${token}; it may ${role} and is not shown again. It holds from now on.`,
      );
      warnIfNoOneMayAct(dataDir);
      return;
    }
    const passPhrase = await readPassPhrase(role);
    await setPassPhrase(dataDir, role, passPhrase);
    console.error(`The pass-phrase to ${role} is set and holds from now on; open pages are asked for it.`);
    warnIfNoOneMayAct(dataDir);
  },
});

const whoHasAccess = (access: Access | undefined): string => {
  if (access === undefined) return 'No pass-phrase is set: anyone at this computer may act.';
  const phrases = roles.map(
    (role) => `pass-phrase to ${role}: ${access.passPhrases[role] === undefined ? 'not set' : 'set'}`,
  );
  return [...phrases, ...access.tokens.map(({ name, role }) => `token ${name}: may ${role}`)].join('\n');
};

/** A pass-phrase to watch closes the page for everybody who has no other, the helm included. */
const warnIfNoOneMayAct = (dataDir: string): void => {
  const access = readAccess(dataDir);
  if (access && !someoneMayAct(access))
    console.error(
      'NO ONE MAY ACT NOW: no page can acknowledge or silence an alert. Set that pass-phrase too: elbowroom access --role act',
    );
};

/** One line; where a person types it, it is not echoed and must be typed twice, because a mistake cannot be seen. */
const readPassPhrase = async (role: string): Promise<string> => {
  const asks = process.stdin.isTTY === true;
  // The terminal stops echoing here, so nothing is asked before.
  const lines = createInterface({ input: process.stdin, terminal: asks, ...(asks && { output: muted() }) });
  const each = lines[Symbol.asyncIterator]();
  const ask = async (question: string): Promise<string> => {
    if (asks) process.stderr.write(question);
    const { value, done } = await each.next();
    if (done) throw new UsageError('No pass-phrase was given; nothing was changed.');
    return value;
  };
  try {
    const passPhrase = await ask(`Pass-phrase to ${role} (not shown): `);
    if (asks && (await ask('The same again: ')) !== passPhrase)
      throw new UsageError('The two differ; nothing was changed. Run the command again.');
    return passPhrase;
  } finally {
    lines.close();
  }
};

/** Passes on the ends of lines and nothing that was typed. */
const muted = (): NodeJS.WritableStream =>
  Object.assign(Object.create(process.stderr) as NodeJS.WritableStream, {
    write: (text: string) => (/\n/.test(text) ? process.stderr.write('\n') : true),
  });
