import { randomBytes } from 'node:crypto';
import { type StatsListener, unwatchFile, watchFile } from 'node:fs';
import { join } from 'node:path';
import type { Logger } from 'pino';
import { Annunciator } from '../annunciator/annunciator.js';
import { benchBoard } from '../board/bench-address.js';
import type { BoardLink } from '../board/board-link.js';
import { openBoard } from '../board/open-board.js';
import { openSerialStream } from '../board/serial-port.js';
import { NodeError } from '../errors/node-error.js';
import { resumeGuard, startGuard } from '../guard/guard.js';
import type { Kit } from '../kit/schema.js';
import { LinkServer } from '../link/link-server.js';
import { Reporter } from '../link/reporter.js';
import { secretFile } from '../link/secret-file.js';
import { quietLog } from '../log/log.js';
import type { LogLevel } from '../log/log-level.js';
import { loadWholeKit, needsRestart } from '../pass/loaded-kit.js';
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
import { aliveWithinMs, type Health, serveHealth } from './health.js';
import { logBoardStatus } from './log-board-status.js';
import { readStateFile, StateFile } from './state-file.js';
import { Watchkeeper } from './watchkeeper.js';

export type NodeOptions = {
  readonly kitPath: string;
  /** Instead of the kit's own: `auto`, `bench`, a serial path, tcp://host:port. */
  readonly connection?: string;
  /** Instead of the kit's own: host:port, port 0 takes a free one. */
  readonly linkListen?: string;
  /** Where the state file lives; without it alerts do not survive a restart. */
  readonly dataDir?: string;
  /** The file that a host must have the same of to be obeyed; without it none is. */
  readonly linkSecret?: string;
  /** Path of a recording to watch instead of a board, under the kit it holds; its pins lead nowhere. */
  readonly replay?: string;
  /** host:port of the health page; none by default. */
  readonly healthListen?: string;
  readonly clock?: Clock;
  /** `warn` unless said otherwise. */
  readonly logLevel?: LogLevel;
  /** How a board is opened; the real way unless a test has its own. */
  readonly openBoard?: (connection: string, clock: Clock) => BoardLink;
};

export type RunningNode = {
  /** Where the link listens; undefined when it goes over a serial wire. */
  readonly linkPort: number | undefined;
  readonly healthPort: number | undefined;
  readonly board: () => ReturnType<BoardLink['status']>;
  readonly health: () => Health;
  /**
   * Reads the kit again: limits, names, curves and certificates take effect at once and no alert is lost. A file that
   * cannot be used, or that moves a wire, changes nothing; the answer says why.
   */
  reload(): { readonly ok: boolean; readonly detail: string };
  /** Pins low, heartbeat stopped, alerts written, ports free. */
  stop(): Promise<void>;
};

/** A kit file that is saved takes effect by itself; looked at so often, which works on every file system. */
const lookAtKitEveryMs = 2_000;
/** Long enough for the last pin orders to leave the port before it closes. */
const pinsSettleMs = 60;

/**
 * Runs the node until it is stopped: senses, guards, sounds and tells, with or without anybody listening.
 * Throws `NodeError` for a kit that cannot be used and a port that is taken. A missing board is not an error:
 * it is announced, and the node waits for it.
 */
export const runNode = async (options: NodeOptions): Promise<RunningNode> => {
  const clock = options.clock ?? systemClock;
  const log = quietLog(options.logLevel);
  const recording = options.replay === undefined ? undefined : readRecording(options.replay);
  let { kit, settings, converters } = loadWholeKit(options.kitPath, recording?.kit);
  const wall = new WallTimes(clock);

  const stateFile = options.dataDir === undefined ? undefined : openStateFile(options.dataDir, clock, log);
  const pass = new Pass(settings, converters, rememberedState(options.dataDir, clock, log));
  const link = new LinkServer({
    node: kit.node,
    boot: randomBytes(6).toString('hex'),
    ...(options.linkSecret !== undefined && {
      secret: secretFile(options.linkSecret, (why) => log.error(why)),
    }),
    clockSteppedMs: () => wall.steppedMs,
    onCommand: (command) => watch.command(command),
    onTestSound: (forS) => watch.testSound(forS),
    onListener: () => reporter.tellAll(),
  });

  const board = recording ? replayBoard(clock) : openNodeBoard(options, kit, clock);
  const stopTelling = logBoardStatus(board, log);
  const tally = new ReadingTally();
  const reporter = new Reporter({ kit, settings, converters, link, wall, board, tally, clock });
  const { senses, stop: stopSenses } = openSenses(kit, board, clock);
  const watch = new Watchkeeper({
    sense: recording ? replaySenses(recording, clock) : () => senses.take(),
    pass,
    annunciator: new Annunciator({
      buzzer: board.digitalOutput(kit.outputs.buzzerPin),
      lamp: board.digitalOutput(kit.outputs.lampPin),
      heartbeat: board.digitalOutput(kit.outputs.heartbeatPin),
    }),
    reporter,
    tally,
    wall,
    keep: (state) => stateFile?.save(state),
    log,
    proof: new ProofOfWork(),
    buzzerUnconfirmedMs: () => board.unconfirmedMs(kit.outputs.buzzerPin),
    passHz: kit.board.sampleHz,
  });

  const health = (): Health => {
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
      readings: tally.all(),
      listeners: link.listening,
      framesLost: link.framesLost,
      linkDamaged: link.damaged,
    };
  };

  let linkPort: number | undefined;
  let healthServer: Awaited<ReturnType<typeof serveHealth>> | undefined;
  try {
    linkPort = await openLink(link, kit, options.linkListen);
    if (options.healthListen !== undefined) healthServer = await serveHealth(options.healthListen, health);
  } catch (error) {
    stopTelling();
    stopSenses();
    await Promise.all([board.close(), link.close()]);
    throw error;
  }
  const rhythm = new Rhythm(
    1000 / kit.board.sampleHz,
    () => watch.onePass(),
    clock,
    (error) => log.error({ err: error }, 'A pass failed; the heartbeat skips it.'),
  );

  const reload = (): { readonly ok: boolean; readonly detail: string } => {
    try {
      const loaded = loadWholeKit(options.kitPath);
      const fixed = needsRestart(kit, loaded.kit);
      if (fixed.length > 0)
        return refused(`${options.kitPath}: ${fixed.join(', ')} cannot change while the node runs.`, log);
      ({ kit, settings, converters } = loaded);
      pass.retune(settings, converters);
      reporter.retune(kit, settings, converters);
    } catch (error) {
      // Whatever is wrong with a file that somebody saved, the guard goes on with what it has.
      return refused((error as Error).message, log);
    }
    log.info(`${options.kitPath} was read again.`);
    return { ok: true, detail: `${options.kitPath} was read again and is in force.` };
  };
  const whenSaved: StatsListener = (now, before) => {
    if (now.mtimeMs !== before.mtimeMs && now.mtimeMs !== 0) reload();
  };
  if (!recording) watchFile(options.kitPath, { interval: lookAtKitEveryMs, persistent: false }, whenSaved);

  return {
    linkPort,
    healthPort: healthServer?.port,
    board: () => board.status(),
    health,
    reload,
    stop: async () => {
      rhythm.stop();
      stopTelling();
      unwatchFile(options.kitPath, whenSaved);
      stopSenses();
      watch.stop();
      await new Promise((done) => setTimeout(done, pinsSettleMs));
      await Promise.all([board.close(), link.close(), healthServer?.close(), stateFile?.settled()]);
    },
  };
};
const refused = (why: string, log: Logger) => {
  const detail = `${why}\nThe settings that were in force stay in force; restart the node to start afresh.`;
  log.error(detail);
  return { ok: false, detail };
};

const openNodeBoard = ({ connection, openBoard: open }: NodeOptions, kit: Kit, clock: Clock): BoardLink => {
  const asked = connection ?? kit.board.connection;
  try {
    if (open) return open(asked, clock);
    return openBoard({ connection: asked === 'bench' ? benchBoard : asked, clock });
  } catch (cause) {
    throw new NodeError('address-wrong', (cause as Error).message, { cause });
  }
};

const statePath = (dataDir: string): string => join(dataDir, 'node-state.json');

const rememberedState = (dataDir: string | undefined, clock: Clock, log: Logger) => {
  const remembered = dataDir === undefined ? undefined : readStateFile(statePath(dataDir), clock);
  if (!remembered) return startGuard(clock.monotonicMs());
  const { state, forgotten } = resumeGuard(remembered.guard, clock.monotonicMs(), remembered.awayMs);
  if (forgotten) log.warn(forgotten);
  return state;
};

const openStateFile = (dataDir: string, clock: Clock, log: Logger): StateFile =>
  new StateFile(statePath(dataDir), clock, (error) => {
    log.error(
      `Cannot write ${statePath(dataDir)}: ${error.message}. The guard goes on; alerts will not survive a restart. Make the folder writable or name another with --data-dir.`,
    );
  });

const openLink = async (link: LinkServer, kit: Kit, listen?: string): Promise<number | undefined> => {
  if (listen !== undefined) return link.listen(listen);
  if (kit.link.over === 'tcp') return link.listen(kit.link.listen);
  try {
    link.serveWire(await openSerialStream(kit.link.path, kit.link.baud));
  } catch (cause) {
    throw new NodeError('link-could-not-open', `The link: ${(cause as Error).message}`, { cause });
  }
  return undefined;
};
