import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import type { Logger } from 'pino';
import { Annunciator } from './annunciator/annunciator.js';
import { type BoardLink, openBoard } from './board/open-board.js';
import { openSerialStream } from './board/serial-port.js';
import { type Clock, systemClock } from './clock.js';
import type { AlertCommand } from './guard/alert.js';
import { resumeGuard, startGuard } from './guard/guard.js';
import { settingsFromKit } from './guard/settings-from-kit.js';
import { loadKit } from './kit/load-kit.js';
import type { Kit } from './kit/schema.js';
import { LinkServer } from './link/link-server.js';
import { Reporter } from './link/reporter.js';
import { quietLog } from './log.js';
import { NodeError } from './node-error.js';
import { Pass } from './pass.js';
import { Rhythm } from './rhythm.js';
import { openSenses } from './sense/open-senses.js';
import { readStateFile, StateFile } from './state-file.js';
import { WallTimes } from './wall-times.js';

export type NodeOptions = {
  readonly kitPath: string;
  /** Instead of the kit's own: `auto`, a serial path, tcp://host:port. */
  readonly connection?: string;
  /** Instead of the kit's own: host:port, port 0 takes a free one. */
  readonly linkListen?: string;
  /** Where the state file lives; without it alerts do not survive a restart. */
  readonly dataDir?: string;
  readonly clock?: Clock;
  readonly log?: Logger;
};

export type RunningNode = {
  /** Where the link listens; undefined when it goes over a serial wire. */
  readonly linkPort: number | undefined;
  readonly board: () => ReturnType<BoardLink['status']>;
  /** Pins low, heartbeat stopped, alerts written, ports free. */
  stop(): Promise<void>;
};

/** The guard's memory is written this often, and at every change of an alert. */
const saveEveryMs = 10_000;
/** Long enough for the last pin orders to leave the port before it closes. */
const pinsSettleMs = 60;

/**
 * Runs the node until it is stopped: senses, guards, sounds and tells, with or without anybody listening.
 * Throws `NodeError` for a kit that cannot be used and a link port that is taken. A missing board is not an error:
 * it is announced, and the node waits for it.
 */
export const runNode = async (options: NodeOptions): Promise<RunningNode> => {
  const clock = options.clock ?? systemClock;
  const log = options.log ?? quietLog();
  const kit = loadKit(options.kitPath);
  const settings = settingsFromKit(kit);
  const wall = new WallTimes(clock);

  const stateFile = openStateFile(options, clock, log);
  const remembered = options.dataDir && readStateFile(statePath(options.dataDir), clock);
  const { state, forgotten } = remembered
    ? resumeGuard(remembered.guard, clock.monotonicMs(), remembered.awayMs)
    : { state: startGuard(clock.monotonicMs()), forgotten: undefined };
  if (forgotten) log.warn(forgotten);
  const pass = new Pass(kit, settings, state);

  const waiting: Waiting[] = [];
  const link = new LinkServer({
    node: kit.node,
    boot: randomBytes(6).toString('hex'),
    onCommand: (command) => new Promise((answer) => waiting.push({ command, answer })),
    onListener: () => reporter.tellAll(),
  });

  const board = openNodeBoard(options.connection ?? kit.board.connection, clock);
  const reporter = new Reporter({ kit, settings, converters: pass.converters, link, wall, board, clock });
  board.onStatus((status) => log.info({ board: status.state }, status.detail));

  const annunciator = new Annunciator({
    buzzer: board.digitalOutput(kit.outputs.buzzerPin),
    lamp: board.digitalOutput(kit.outputs.lampPin),
    heartbeat: board.digitalOutput(kit.outputs.heartbeatPin),
  });
  const { senses, stop: stopSenses } = openSenses(kit, board, clock);

  let linkPort: number | undefined;
  try {
    linkPort = await openLink(link, kit, options.linkListen);
  } catch (error) {
    stopSenses();
    await board.close();
    throw error;
  }

  let savedAtMs = clock.monotonicMs();
  const onePass = () => {
    const stepMs = wall.look();
    if (stepMs !== undefined) log.warn({ stepMs }, 'The wall clock stepped; the guard does not look at it.');
    const commands = waiting.splice(0);
    const sensed = senses.take();
    const result = pass.run(
      sensed,
      commands.map(({ command }) => command),
    );
    annunciator.play(result.annunciation, sensed.atMs);
    if (sensed.complete) annunciator.beat();

    commands.forEach(({ answer }, i) => {
      answer(result.answers[i] ?? { ok: false, detail: 'The guard gave no answer.' });
    });
    reporter.tell(sensed, result);
    if (result.alertsChanged || sensed.atMs - savedAtMs >= saveEveryMs) {
      savedAtMs = sensed.atMs;
      stateFile?.save(pass.state);
    }
  };
  const rhythm = new Rhythm(1000 / kit.board.sampleHz, onePass, clock, (error) => {
    log.error({ err: error }, 'A pass failed; the heartbeat skips it.');
  });

  return {
    linkPort,
    board: () => board.status(),
    stop: async () => {
      rhythm.stop();
      stopSenses();
      annunciator.stop();
      stateFile?.save(pass.state);
      for (const { answer } of waiting.splice(0)) answer({ ok: false, detail: 'The node is stopping.' });
      await new Promise((done) => setTimeout(done, pinsSettleMs));
      await Promise.all([board.close(), link.close(), stateFile?.settled()]);
    },
  };
};

/** Where `elbowroom bench` serves its emulated board unless told otherwise. */
const benchBoard = 'tcp://127.0.0.1:8473';

const openNodeBoard = (connection: string, clock: Clock): BoardLink => {
  try {
    return openBoard({ connection: connection === 'bench' ? benchBoard : connection, clock });
  } catch (cause) {
    throw new NodeError('address-wrong', (cause as Error).message, { cause });
  }
};

type Waiting = {
  readonly command: AlertCommand;
  readonly answer: (answer: { ok: boolean; detail: string }) => void;
};

const statePath = (dataDir: string): string => join(dataDir, 'node-state.json');

const openStateFile = ({ dataDir }: NodeOptions, clock: Clock, log: Logger): StateFile | undefined =>
  dataDir === undefined
    ? undefined
    : new StateFile(statePath(dataDir), clock, (error) => {
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
