import { randomBytes } from 'node:crypto';
import { Annunciator } from '../annunciator/annunciator.js';
import { BuzzerCheck } from '../annunciator/buzzer-check.js';
import type { BoardLink } from '../board/board-link.js';
import { openBoard } from '../board/open-board.js';
import type { Kit } from '../kit/schema.js';
import { LinkServer } from '../link/link-server.js';
import { parseListenAddress } from '../link/listen-on.js';
import { Reporter } from '../link/reporter.js';
import { quietLog } from '../log/log.js';
import type { LogLevel } from '../log/log-level.js';
import { Pass } from '../pass/pass.js';
import { ProofOfWork } from '../pass/proof-of-work.js';
import { Rhythm } from '../pass/rhythm.js';
import { ReadingTally } from '../reading/reading-tally.js';
import { openSenses } from '../sense/open-senses.js';
import { type Clock, systemClock } from '../time/clock.js';
import { WallTimes } from '../time/wall-times.js';
import { readRecording } from '../wiring/recording.js';
import { replayBoard } from '../wiring/replay-board.js';
import { replaySenses } from '../wiring/replay-senses.js';
import { GuardMemory } from './guard-memory.js';
import { aliveWithinMs, type Health, openHealth } from './health.js';
import { KitInForce, type Reloaded } from './kit-in-force.js';
import { logBoardStatus } from './log-board-status.js';
import { NoticeBoard } from './notice-board.js';
import { openLink, openSecret } from './open-link.js';
import { Watchkeeper } from './watchkeeper.js';

export type NodeOptions = {
  readonly kitPath: string;
  /** Instead of the kit's own: `auto`, `bench`, a serial path, tcp://host:port. */
  readonly connection?: string;
  /** Instead of the kit's own: host:port, port 0 takes a free one. */
  readonly linkListen?: string;
  /** Where the state file lives; without it alerts do not survive a restart. */
  readonly dataDir?: string;
  /** Makes sure that no other process writes in the data folder; rejects while one does. */
  readonly holdDataDir?: (dataDir: string) => Promise<void>;
  /** The file with the link secret: commands are taken only from a host with the same file, and from none without it. */
  readonly linkSecret?: string;
  /** Path of a recording to watch instead of a board, under the kit it holds; its pins lead nowhere. */
  readonly replay?: string;
  /** host:port of the health page; none by default. */
  readonly healthListen?: string;
  /** A bench is behind the board: whatever the kit says, the boat is reported as invented. */
  readonly invented?: boolean;
  readonly clock?: Clock;
  /** `warn` unless said otherwise. */
  readonly logLevel?: LogLevel;
  /** How a board is opened; the real way unless a test has its own. */
  readonly openBoard?: (connection: string, clock: Clock) => BoardLink;
};

export type RunningNode = {
  /** Where the link listens; undefined over a serial wire, and until its port is free. */
  readonly linkPort: () => number | undefined;
  readonly healthPort: () => number | undefined;
  readonly board: () => ReturnType<BoardLink['status']>;
  readonly health: () => Health;
  /** Passes made and well so far: what a supervisor watches. */
  readonly passes: () => number;
  /**
   * Reads the kit again: limits, names, curves and certificates take effect at once and no alert is lost. A file that
   * cannot be used, or that moves a wire, changes nothing; the answer says why.
   */
  reload(): Reloaded;
  /** Pins low, heartbeat stopped, alerts written, ports free. */
  stop(): Promise<void>;
};

/** Long enough for the last pin orders to leave the port before it closes. */
const pinsSettleMs = 60;

/**
 * Runs the node until it is stopped: senses, guards, sounds and reports, with or without a host. The guard starts first,
 * and nothing that reports can end it: a port or a folder in use is a notice, and is tried again until it is free.
 * Throws `NodeError` where there is no kit to guard by (nor a copy of the last good one), and for an option that means
 * nothing. A missing board is not an error: it is announced, and the node waits for it.
 */
export const runNode = async (options: NodeOptions): Promise<RunningNode> => {
  const { dataDir, clock = systemClock } = options;
  for (const address of [options.linkListen, options.healthListen])
    if (address !== undefined) parseListenAddress(address);
  const log = quietLog(options.logLevel);
  const notices = new NoticeBoard(log);
  const recording = options.replay === undefined ? undefined : readRecording(options.replay);
  const kits = new KitInForce({ path: options.kitPath, dataDir, instead: recording?.kit, notices, log });
  const { kit, settings, converters } = kits.loaded;
  const wall = new WallTimes(clock);

  const board = recording
    ? replayBoard(clock)
    : (options.openBoard ?? openBoard)(options.connection ?? kit.board.connection, clock);
  const memory = new GuardMemory({
    ...{ dataDir, hold: options.holdDataDir, clock, notices, log },
    onHeld: () => kits.keepCopies(),
  });
  const pass = new Pass(settings, converters, await memory.open());
  const link = new LinkServer({
    node: kit.node,
    boot: randomBytes(6).toString('hex'),
    ...(options.linkSecret !== undefined && { secret: openSecret(options.linkSecret, notices) }),
    clockSteppedMs: () => wall.steppedMs,
    onCommand: (command) => watch.command(command),
    onTestSound: (forS) => watch.testSound(forS),
    onListener: () => reporter.reportAll(),
  });

  const stopLogging = logBoardStatus(board, log);
  const tally = new ReadingTally();
  const reporter = new Reporter({
    ...{ kit, settings, converters, link, wall, board, tally, clock },
    invented: options.invented === true,
  });
  const { senses, stop: stopSenses } = openSenses(kit, board, clock);
  const watch = new Watchkeeper({
    sense: recording ? replaySenses(recording, clock) : () => senses.take(),
    pass,
    annunciator: annunciatorOf(board, kit),
    reporter,
    tally,
    wall,
    notices: () => notices.all(),
    keep: (state) => memory.save(state),
    log,
    proof: new ProofOfWork(),
    buzzerUnconfirmedMs: () => board.unconfirmedMs(kit.outputs.buzzerPin),
    ...(kit.buzzerCurrent && { buzzerCheck: new BuzzerCheck(kit.buzzerCurrent) }),
    passHz: kit.board.sampleHz,
  });

  const health = () => healthOf({ watch, clock, board, notices, tally, link });
  let passes = 0;
  const rhythm = new Rhythm(
    1000 / kit.board.sampleHz,
    () => {
      watch.onePass();
      passes++;
    },
    clock,
    (error) => log.error({ err: error }, 'A pass failed; the heartbeat skips it.'),
  );
  if (!recording)
    kits.follow((loaded) => {
      pass.retune(loaded.settings, loaded.converters);
      reporter.retune(loaded.kit, loaded.settings, loaded.converters);
    });
  const opening = openLink(link, kit, notices, options.linkListen);
  const healthPage = openHealth(options.healthListen, health, notices);
  await Promise.all([opening.triedOnce, healthPage.triedOnce]);

  return {
    linkPort: opening.port,
    healthPort: healthPage.port,
    board: () => board.status(),
    health,
    passes: () => passes,
    reload: () => kits.reload(),
    stop: async () => {
      rhythm.stop();
      stopLogging();
      opening.stop();
      stopSenses();
      watch.stop();
      await new Promise((done) => setTimeout(done, pinsSettleMs));
      await Promise.all([board.close(), link.close(), healthPage.close(), memory.close(), kits.stop()]);
    },
  };
};

const annunciatorOf = (board: BoardLink, { outputs }: Kit): Annunciator =>
  new Annunciator({
    buzzer: board.digitalOutput(outputs.buzzerPin),
    lamp: board.digitalOutput(outputs.lampPin),
    heartbeat: board.digitalOutput(outputs.heartbeatPin),
  });

const healthOf = (parts: {
  readonly watch: Watchkeeper;
  readonly clock: Clock;
  readonly board: BoardLink;
  readonly notices: NoticeBoard;
  readonly tally: ReadingTally;
  readonly link: LinkServer;
}): Health => {
  const { watch, clock, board, notices, tally, link } = parts;
  const { report } = watch;
  const ageMs = report ? Math.round(clock.monotonicMs() - report.atMs) : undefined;
  const alive = ageMs !== undefined && ageMs <= aliveWithinMs;
  const { state, detail } = board.status();
  return {
    alive,
    ready: alive && report?.complete === true,
    lastPassAgeMs: ageMs,
    board: { state, detail },
    standing: report?.standing,
    heartHeldBy: report?.heartHeldBy,
    notices: notices.all().map(({ message }) => message),
    readings: tally.all(),
    listeners: link.listening,
    framesLost: link.framesLost,
    linkDamaged: link.damaged,
  };
};
