import { mkdirSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { addToken, roles, setPassPhrase } from '../serve/access/access-file.js';
import { defineCommand } from './define-command.js';
import { AskedWrongly } from './exit.js';

export const accessCommand = defineCommand({
  command: 'access',
  describe:
    'Set the pass-phrase of the page, or make a token for a program; needed to listen wider than loopback',
  builder: (yargs) =>
    yargs
      .option('data-dir', {
        type: 'string',
        default: 'elbowroom-data/host',
        describe: 'The data folder of the host',
      })
      .option('role', {
        choices: roles,
        default: 'act' as const,
        describe: 'watch sees everything; act may also acknowledge, silence and change',
      })
      .option('token', {
        type: 'string',
        describe: 'Make a token of this name instead, for `Authorization: Bearer TOKEN`',
      })
      .example('$0 access --role watch', 'asks for the pass-phrase of the role')
      .example('echo "four words nobody guesses" | $0 access', 'takes it from standard input'),
  handler: async ({ dataDir, role, token }) => {
    mkdirSync(dataDir, { recursive: true });
    if (token !== undefined) {
      console.log(addToken(dataDir, token, role));
      console.error(`This is the token ${token}; it may ${role} and is not shown again. Restart the host.`);
      return;
    }
    const passPhrase = await readPassPhrase(role);
    if (passPhrase === undefined) throw new AskedWrongly('No pass-phrase came on standard input.');
    await setPassPhrase(dataDir, role, passPhrase);
    console.error(`The pass-phrase to ${role} is set. Restart the host; open pages are asked for it.`);
  },
});

/** One line; not echoed where a person types it. */
const readPassPhrase = async (role: string): Promise<string | undefined> => {
  const asks = process.stdin.isTTY === true;
  const lines = createInterface({
    input: process.stdin,
    terminal: asks,
    ...(asks && { output: mute(role) }),
  });
  try {
    for await (const line of lines) return line;
    return undefined;
  } finally {
    lines.close();
  }
};

const mute = (role: string): NodeJS.WritableStream => {
  process.stderr.write(`Pass-phrase to ${role} (not shown): `);
  return Object.assign(Object.create(process.stderr) as NodeJS.WritableStream, {
    write: (text: string) => (/\n/.test(text) ? process.stderr.write('\n') : true),
  });
};
