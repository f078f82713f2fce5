import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import type { AlertRow, Clock } from '../../../node/index.js';
import type { LiveSource } from '../../live/live-source.js';
import type { RunningOutput } from '../../live/output-status.js';
import type { MessageSettings } from '../../settings/schema.js';
import { type Degrees, degreesIn } from '../../wording/degrees.js';
import { alertChanges, nothingReported, type Reported, silenceChanges } from './changes.js';
import { composeChanges, composeSignOfLife } from './compose.js';
import type { Change, Destination, Message } from './message.js';
import { MessageOutbox } from './outbox.js';
import { addChanges, atRest, type Pace, release } from './pace.js';
import { isQuiet } from './quiet-hours.js';
import { Extremes, sceneOf } from './scene.js';
import { localTime, signOfLifeDue } from './sign-of-life.js';

/** What outlives a restart. */
type Kept = { readonly reported: Reported; readonly pace: Pace; readonly lastSignOfLifeDay?: string };

export type MessagesOptions = {
  readonly settings: MessageSettings;
  readonly destinations: readonly Destination[];
  readonly dataDir: string;
  /** For the words of a message; Celsius unless given. */
  readonly degrees?: Degrees;
  readonly live: Pick<LiveSource, 'nodes' | 'on' | 'onChange'>;
  readonly clock: Clock;
  readonly log: (words: string) => void;
  readonly chance?: () => number;
};

/** How often waiting changes, silence and waiting messages are looked at. */
const turnMs = 1000;

/** Sorts by time and is never the same twice. */
export const messageId = (atMs: number): string =>
  `${String(atMs).padStart(13, '0')}-${randomBytes(6).toString('hex')}`;

/** Informs the destinations of alerts, silent nodes and, once a day, that all is well; until stopped. */
export const startMessages = (options: MessagesOptions): RunningOutput & { turn(): Promise<void> } => {
  const { settings, live, clock, dataDir, log, degrees = degreesIn('celsius') } = options;
  const keptPath = join(dataDir, 'messages', 'told.json');
  const startedAtMs = clock.wallMs();
  const extremes = new Extremes();
  let kept = recall(keptPath, log);
  const outboxes = options.destinations.map(
    (destination) =>
      new MessageOutbox({
        folder: join(dataDir, 'messages', folderName(destination.name)),
        destination,
        tryForMs: settings.tryForHours * 3_600_000,
        nowMs: () => clock.wallMs(),
        chance: options.chance ?? Math.random,
        log,
      }),
  );

  const keep = (next: Kept) => {
    if (JSON.stringify(next) === JSON.stringify(kept)) return;
    kept = next;
    writeFileAtomic(keptPath, JSON.stringify(kept));
  };
  const note = (reported: Reported, changes: readonly Change[]) =>
    keep({ ...kept, reported, pace: addChanges(kept.pace, changes, clock.wallMs()) });
  const takeAlerts = (node: string, alerts: readonly AlertRow[]) => {
    const { reported, changes } = alertChanges(
      kept.reported,
      { node, alerts, at: clock.wallMs() },
      settings.least,
    );
    note(reported, changes);
  };
  /** The host's own alerts come without a message, and its entry goes when none is active. */
  const takeAllAlerts = () => {
    const nodes = live.nodes();
    for (const { node, alerts } of nodes) takeAlerts(node, alerts);
    const gone = new Set(Object.values(kept.reported.alerts).map(({ node }) => node));
    for (const { node } of nodes) gone.delete(node);
    for (const node of gone) takeAlerts(node, []);
  };
  const scene = () =>
    sceneOf(live.nodes(), extremes, {
      nowMs: clock.wallMs(),
      degrees,
      givenUp: outboxes.reduce((sum, outbox) => sum + outbox.takeGivenUp(), 0),
    });
  const sendOut = (message: Message) => {
    for (const outbox of outboxes) outbox.add(message);
  };

  const compose = () => {
    const nowMs = clock.wallMs();
    const { reported, changes } = silenceChanges(kept.reported, live.nodes(), {
      nowMs,
      startedAtMs,
      silentS: settings.nodeSilentS,
    });
    note(reported, changes);
    const today = localTime(nowMs);
    const isQuietNow = settings.quietHours !== undefined && isQuiet(settings.quietHours, today.minuteOfDay);
    const { pace, send } = release(kept.pace, nowMs, { ...settings, isQuietNow });
    // Into the outboxes first: after a power cut between the two a message is sent twice rather than never.
    if (send) sendOut(composeChanges(scene(), send.changes, send.unlisted, messageId(nowMs)));
    keep({ ...kept, pace });
    // After a start the first readings are on their way: to call them missing would be a false word.
    const nobodyYet = live.nodes().every((n) => n.boat === undefined || n.latest.length === 0);
    const waitForBoat = nobodyYet && nowMs - startedAtMs < 60_000;
    if (!waitForBoat && signOfLifeDue(today, settings.signOfLife, kept.lastSignOfLifeDay)) {
      sendOut(composeSignOfLife(scene(), settings.signOfLife, messageId(nowMs)));
      extremes.startAgain();
      keep({ ...kept, lastSignOfLifeDay: today.day });
    }
  };
  const turn = async () => {
    try {
      compose();
      await Promise.all(outboxes.map((outbox) => outbox.turn()));
    } catch (error) {
      log(`Messages: ${(error as Error).message}`);
    }
  };

  const stopListening = [
    live.on((node, message) => {
      if (message.kind === 'readings' && message.rate === 'second') extremes.take(node, message.rows);
      if (message.kind === 'alerts') takeAlerts(node, message.alerts);
    }),
    live.onChange(takeAllAlerts),
  ];
  const timer = setInterval(() => void turn(), turnMs);
  timer.unref();
  return {
    turn,
    status: () => outboxes.map((outbox) => outbox.status()),
    stop: async () => {
      clearInterval(timer);
      for (const stop of stopListening) stop();
    },
  };
};

/** A destination's name as a folder: letters and digits, and a mark of the whole so that two never share one. */
const folderName = (name: string): string => {
  let mark = 0;
  for (const character of name) mark = (mark * 31 + character.charCodeAt(0)) >>> 0;
  return `${name.replace(/[^A-Za-z0-9]+/g, '-').slice(0, 50)}-${mark.toString(36)}`;
};

const recall = (path: string, log: (words: string) => void): Kept => {
  mkdirSync(dirname(path), { recursive: true });
  const fresh: Kept = { reported: nothingReported, pace: atRest };
  try {
    const { told, ...rest } = JSON.parse(readFileSync(path, 'utf8')) as Kept & { told?: Reported };
    // Files written before version 0.2 have `told` in place of `reported`.
    const kept: Kept = told === undefined ? rest : { ...rest, reported: told };
    if (typeof kept.reported?.alerts !== 'object' || !Array.isArray(kept.pace?.waiting))
      throw new Error('not what was kept');
    return kept;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT')
      log(`${path} cannot be read, so active alerts are reported again: ${(error as Error).message}`);
    return fresh;
  }
};
