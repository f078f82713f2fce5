import { createReadStream } from 'node:fs';
import { systemClock } from '../../node/index.js';
import { type Imported, importReadings, importService } from '../exchange/index.js';
import { openStore } from '../store/index.js';
import { defineCommand } from './define-command.js';
import { BadAnswerError, UnavailableError } from './exit.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { flagOption } from './usual-options.js';

export const importCommand = defineCommand({
  ...summaries.import,
  when: 'To bring back what export wrote: on a new computer, or into another store.',
  builder: (yargs) =>
    yargs
      .positional('file', { type: 'string', demandOption: true, describe: 'The file; - is stdin' })
      .option('what', {
        choices: ['readings', 'service'] as const,
        default: 'readings' as const,
        describe: 'service: work done, as export --what service --format jsonl writes it',
      })
      .option('rate', {
        choices: ['second', 'episode'] as const,
        describe:
          'For a file that does not say: readings once a second (the default), or the full rate around alerts',
      })
      .options(storeOption)
      .option('json', flagOption('Print the counts as one JSON document'))
      .example('$0 import season.csv', 'What export wrote; what is there already stays as it is')
      .example('$0 import service.jsonl --what service', 'A service log'),
  handler: async ({ file, what, rate, dataDir, json }) => {
    const store = openStore(dataDir, systemClock);
    try {
      // The parser ignores a lone -.
      const source = file === '-' || file === '' ? process.stdin : createReadStream(file);
      const reading =
        what === 'service'
          ? importService(store, source)
          : importReadings(store, source, { ...(rate && { rate }) });
      const imported = await reading.catch((cause) => {
        if (cause?.syscall === undefined) throw cause;
        throw new UnavailableError(`Cannot read ${file} (${cause.message}).`);
      });
      if (json) console.log(JSON.stringify(imported));
      else console.log(summary(imported, what));
      for (const { line, why } of imported.firstRefused) console.error(`Line ${line}: ${why}.`);
      if (imported.refused > 0)
        throw new BadAnswerError(
          `${imported.refused} of ${imported.lines} lines were refused; the others are in. Fix those lines and import the file again: what is in already stays as it is.`,
        );
    } finally {
      store.close();
    }
  },
});

const summary = ({ lines, added, already, differing }: Imported, what: 'readings' | 'service'): string => {
  const conflict =
    differing > 0 ? ` ${differing} of these say something else than the store, which was kept.` : '';
  return `${lines} lines: ${added} ${what === 'service' ? 'works done' : 'readings'} are new, ${already} were there already.${conflict}`;
};
