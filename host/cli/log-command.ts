import { allEngines, engineOrAll, systemClock } from '../../node/index.js';
import { openStore, openStoreToRead, type ServiceEntry, type Store } from '../store/index.js';
import { dayAndTime, zoneOf } from '../wording/moments.js';
import { defineCommand } from './define-command.js';
import { UsageError } from './exit.js';
import { momentOf } from './moment-option.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { jsonOption } from './usual-options.js';

const line = ({ at, engine, work, note, restartsBaseline }: ServiceEntry): string =>
  `${dayAndTime(at)} ${zoneOf(at)}  ${engine.padEnd(9)}  ${work}${note ? ` (${note})` : ''}${restartsBaseline ? '  [new normal]' : ''}`;

const numbered = (entry: ServiceEntry): string => `${String(entry.id).padStart(3)}  ${line(entry)}`;

export const logCommand = defineCommand({
  ...summaries.log,
  when: 'After every work on engine or cooling, so that what is normal is learned again.',
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
        describe:
          'The engine’s normal is learned again from here, as is usual; --no-reset-baseline for work that changes nothing in cooling or load',
      })
      .option('edit', {
        type: 'number',
        requiresArg: true,
        describe: 'Correct the entry of this number: what is given is changed, the rest stays',
      })
      .option('remove', {
        type: 'number',
        requiresArg: true,
        describe: 'Take the entry of this number back, with what it did to the baseline',
      })
      .conflicts('remove', ['edit', 'work', 'engine', 'at', 'note', 'reset-baseline'])
      .options(storeOption)
      .options(jsonOption)
      .example('$0 log "impeller changed" --engine port', 'Now')
      .example('$0 log "oil changed" --engine all --no-reset-baseline', 'Changes nothing in cooling')
      .example('$0 log --edit 3 --no-reset-baseline', 'Entry 3 did not restart the baseline after all')
      .example('$0 log --remove 3', 'Entry 3 was a mistake')
      .example('$0 log', 'The whole log, with numbers'),
  handler: async (options) => {
    const { work, dataDir, json, edit, remove } = options;
    if (work === undefined && edit === undefined && remove === undefined) {
      listLog(dataDir, json);
      return;
    }
    if (work !== undefined && work.trim() === '')
      throw new UsageError('Say what was done: elbowroom log "impeller changed" --engine port');
    const number = edit ?? remove;
    const before = number === undefined ? undefined : entryOf(number, dataDir);
    const now = systemClock.wallMs();
    const when = momentOf('at', options.at, before?.at ?? now);
    if (when > now)
      throw new UsageError(`--at ${options.at} is in the future. The log is for work that is done.`);
    // Reading first refuses a folder without a store: an entry in a new one would be lost to the boat.
    const engine =
      before && options.engine === undefined ? before.engine : engineAsked(options.engine, dataDir);
    const note = options.note ?? before?.note;
    const entry = {
      at: when,
      engine,
      work: work?.trim() ?? before?.work ?? '',
      restartsBaseline: options.resetBaseline ?? before?.restartsBaseline ?? true,
      ...(note === undefined ? {} : { note }),
    };
    const store = openStore(dataDir, systemClock);
    try {
      const { said, shown } = write(store, entry, before, remove !== undefined);
      console.log(json ? JSON.stringify(shown) : `${said}: ${line(shown)}`);
      const restarts = remove === undefined && entry.restartsBaseline;
      if (!json && restarts !== (before?.restartsBaseline ?? false))
        console.error(
          restarts
            ? 'The baseline of this engine starts again from here.'
            : 'The baseline of this engine continues as if it had not been restarted here.',
        );
    } finally {
      store.close();
    }
  },
});

const write = (
  store: Store,
  entry: Omit<ServiceEntry, 'id'>,
  before: ServiceEntry | undefined,
  removes: boolean,
): { readonly said: string; readonly shown: ServiceEntry } => {
  if (!before) return { said: 'Written', shown: store.service.add(entry) };
  if (removes) {
    store.service.remove(before.id);
    return { said: 'Taken back', shown: before };
  }
  const shown = { id: before.id, ...entry };
  store.service.change(shown);
  return { said: 'Corrected', shown };
};

/** Throws `UsageError` where there is no entry of that number. */
const entryOf = (number: number, dataDir: string): ServiceEntry => {
  const store = openStoreToRead(dataDir, systemClock);
  try {
    const found = store.service.entries().find(({ id }) => id === number);
    if (found) return found;
    throw new UsageError(
      `There is no entry ${number} in the log. elbowroom log lists them with their numbers.`,
    );
  } finally {
    store.close();
  }
};

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
    const entries = store.service.entries();
    if (json) console.log(JSON.stringify({ entries }));
    else console.log(entries.length === 0 ? 'The service log is empty.' : entries.map(numbered).join('\n'));
  } finally {
    store.close();
  }
};
