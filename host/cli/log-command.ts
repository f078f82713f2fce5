import { allEngines, engineOrAll, systemClock } from '../../node/index.js';
import { openStore, openStoreToRead, type ServiceEntry } from '../store/index.js';
import { dayAndTime, zoneOf } from '../wording/moments.js';
import { defineCommand } from './define-command.js';
import { UsageError } from './exit.js';
import { momentOf } from './moment-option.js';
import { storeOption } from './store-option.js';

const line = ({ at, engine, work, note, restartsBaseline }: ServiceEntry): string =>
  `${dayAndTime(at)} ${zoneOf(at)}  ${engine.padEnd(9)}  ${work}${note ? ` (${note})` : ''}${restartsBaseline ? '  [new normal]' : ''}`;

export const logCommand = defineCommand({
  command: 'log [work]',
  describe: 'The service log: write down work done on an engine, or list it',
  when: 'After every work on engine or cooling, so that what is normal is learnt anew.',
  builder: (yargs) =>
    yargs
      .positional('work', { type: 'string', describe: 'What was done; without it the log is listed' })
      .option('engine', {
        type: 'string',
        describe: 'Its id in the kit file, or all; a boat with one engine need not say',
      })
      .option('at', {
        type: 'string',
        describe: 'When, as 2026-05-01 or 2026-05-01T08:00:00Z; now unless given',
      })
      .option('note', { type: 'string', describe: 'Anything else worth knowing' })
      .option('reset-baseline', {
        type: 'boolean',
        default: true,
        describe:
          'The engine’s normal is learned anew from here; --no-reset-baseline for work that changes nothing in cooling or load',
      })
      .options(storeOption)
      .option('json', { type: 'boolean', default: false, describe: 'One JSON document' })
      .example('$0 log "impeller changed" --engine port', 'Now')
      .example('$0 log "oil changed" --engine all --no-reset-baseline', 'Changes nothing in cooling')
      .example('$0 log', 'The whole log'),
  handler: async ({ work, engine, at, note, resetBaseline, dataDir, json }) => {
    if (work === undefined) {
      listLog(dataDir, json);
      return;
    }
    if (work.trim() === '')
      throw new UsageError('Say what was done: elbowroom log "impeller changed" --engine port');
    const now = systemClock.wallMs();
    const when = momentOf('at', at, now);
    if (when > now) throw new UsageError(`--at ${at} is yet to come. The log is for work that is done.`);
    // Reading first refuses a folder without a store: an entry in a new one would be lost to the boat.
    const on = engineAsked(engine, dataDir);
    const store = openStore(dataDir, systemClock);
    try {
      const entry = store.addServiceEntry({
        at: when,
        engine: on,
        work: work.trim(),
        restartsBaseline: resetBaseline,
        ...(note === undefined ? {} : { note }),
      });
      console.log(json ? JSON.stringify(entry) : `Written: ${line(entry)}`);
      if (resetBaseline && !json) console.error('The baseline of this engine starts again from here.');
    } finally {
      store.close();
    }
  },
});

/** Throws `UsageError` for an engine the boat does not have, and where it is not said which of several. */
const engineAsked = (asked: string | undefined, dataDir: string): string => {
  const reader = openStoreToRead(dataDir, systemClock);
  try {
    const ids = reader.engines().map(({ id }) => id);
    const [only] = ids;
    if (asked === undefined && ids.length === 1 && only !== undefined) return only;
    const known = ids.length > 1 ? [...ids, allEngines] : ids;
    const words = known.map((id) => `--engine ${id}`).join(', ');
    if (asked === undefined) throw new UsageError(`Say on which engine: ${words}.`);
    const engine = engineOrAll(asked);
    if (engine !== allEngines && !ids.includes(engine))
      throw new UsageError(`There is no engine ${asked} on this boat. Say one of: ${words}.`);
    return engine;
  } finally {
    reader.close();
  }
};

const listLog = (dataDir: string, json: boolean): void => {
  const store = openStoreToRead(dataDir, systemClock);
  try {
    const entries = store.serviceLog();
    if (json) console.log(JSON.stringify({ entries }));
    else console.log(entries.length === 0 ? 'The service log is empty.' : entries.map(line).join('\n'));
  } finally {
    store.close();
  }
};
