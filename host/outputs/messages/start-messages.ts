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
  /** Unit of the text of a message; Celsius unless given. */
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

/** After a start the first readings are on their way: to call them missing would be wrong, ms. */
const firstReadingsWithinMs = 60_000;

/** Informs the destinations of alerts, silent nodes and, once a day, that all is well; until stopped. */
export const startMessages = (options: MessagesOptions): RunningOutput & { turn(): Promise<void> } =>
  new Messages(options);

class Messages implements RunningOutput {
  private readonly options: MessagesOptions;
  private readonly keptPath: string;
  private readonly startedAtMs: number;
  private readonly extremes = new Extremes();
  private readonly outboxes: readonly MessageOutbox[];
  private readonly timer: NodeJS.Timeout;
  private readonly unsubscribe: readonly (() => void)[];
  private kept: Kept;

  constructor(options: MessagesOptions) {
    this.options = options;
    const { settings, live, clock, dataDir, log } = options;
    this.startedAtMs = clock.wallMs();
    this.keptPath = join(dataDir, 'messages', 'told.json');
    this.kept = recall(this.keptPath, log);
    this.outboxes = options.destinations.map(
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
    this.unsubscribe = [
      live.on((node, message) => {
        if (message.kind === 'readings' && message.rate === 'second') this.extremes.take(node, message.rows);
        if (message.kind === 'alerts') this.takeAlerts(node, message.alerts);
      }),
      live.onChange(() => this.takeAllAlerts()),
    ];
    this.timer = setInterval(() => void this.turn(), turnMs);
    this.timer.unref();
  }

  async turn(): Promise<void> {
    try {
      this.compose();
      await Promise.all(this.outboxes.map((outbox) => outbox.turn()));
    } catch (error) {
      this.options.log(`Messages: ${(error as Error).message}`);
    }
  }

  status() {
    return this.outboxes.map((outbox) => outbox.status());
  }

  async stop(): Promise<void> {
    clearInterval(this.timer);
    for (const stop of this.unsubscribe) stop();
  }

  private keep(next: Kept): void {
    if (JSON.stringify(next) === JSON.stringify(this.kept)) return;
    this.kept = next;
    writeFileAtomic(this.keptPath, JSON.stringify(next));
  }

  private note(reported: Reported, changes: readonly Change[]): void {
    const { kept } = this;
    this.keep({ ...kept, reported, pace: addChanges(kept.pace, changes, this.options.clock.wallMs()) });
  }

  private takeAlerts(node: string, alerts: readonly AlertRow[]): void {
    const { clock, settings } = this.options;
    const now = { node, alerts, at: clock.wallMs() };
    const { reported, changes } = alertChanges(this.kept.reported, now, settings.least);
    this.note(reported, changes);
  }

  /** The host's own alerts come without a message, and its entry goes when none is active. */
  private takeAllAlerts(): void {
    const nodes = this.options.live.nodes();
    for (const { node, alerts } of nodes) this.takeAlerts(node, alerts);
    const gone = new Set(Object.values(this.kept.reported.alerts).map(({ node }) => node));
    for (const { node } of nodes) gone.delete(node);
    for (const node of gone) this.takeAlerts(node, []);
  }

  private scene() {
    const { live, clock, degrees = degreesIn('celsius') } = this.options;
    return sceneOf(live.nodes(), this.extremes, {
      nowMs: clock.wallMs(),
      degrees,
      givenUp: this.outboxes.reduce((sum, outbox) => sum + outbox.takeGivenUp(), 0),
    });
  }

  private sendOut(message: Message): void {
    for (const outbox of this.outboxes) outbox.add(message);
  }

  private compose(): void {
    const { live, clock, settings } = this.options;
    const nowMs = clock.wallMs();
    const { reported, changes } = silenceChanges(this.kept.reported, live.nodes(), {
      nowMs,
      startedAtMs: this.startedAtMs,
      silentS: settings.nodeSilentS,
    });
    this.note(reported, changes);
    const today = localTime(nowMs);
    const isQuietNow = settings.quietHours !== undefined && isQuiet(settings.quietHours, today.minuteOfDay);
    const { pace, send } = release(this.kept.pace, nowMs, { ...settings, isQuietNow });
    // Into the outboxes first: after a power cut between the two a message is sent twice rather than never.
    if (send) this.sendOut(composeChanges(this.scene(), send.changes, send.unlisted, messageId(nowMs)));
    this.keep({ ...this.kept, pace });
    this.composeSignOfLife(nowMs, today);
  }

  private composeSignOfLife(nowMs: number, today: ReturnType<typeof localTime>): void {
    const { live, settings } = this.options;
    const noReadingsYet = live.nodes().every((n) => n.boat === undefined || n.latest.length === 0);
    if (noReadingsYet && nowMs - this.startedAtMs < firstReadingsWithinMs) return;
    if (!signOfLifeDue(today, settings.signOfLife, this.kept.lastSignOfLifeDay)) return;
    this.sendOut(composeSignOfLife(this.scene(), settings.signOfLife, messageId(nowMs)));
    this.extremes.startAgain();
    this.keep({ ...this.kept, lastSignOfLifeDay: today.day });
  }
}

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
