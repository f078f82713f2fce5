import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { vi } from 'vitest';
import { BenchBoat } from '../../node/bench/bench-boat.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { typicalEngine } from '../../node/bench/plant/engine-traits.js';
import { Plant } from '../../node/bench/plant/plant.js';
import type { BoardLink } from '../../node/board/board-link.js';
import type { BytePort, PortOpener } from '../../node/board/byte-port.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { parseKit } from '../../node/kit/load-kit.js';
import { type RunningNode, runNode } from '../../node/run/run-node.js';
import type { Clock } from '../../node/time/clock.js';
import { SteppedBoard } from './stepped-board.js';

/** The computer's end of the emulated serial line, with a cable that can be pulled. */
class Cable implements PortOpener {
  readonly label = 'the emulated line';
  isIn = true;
  #port: { closed: (why: string) => void } | undefined;
  readonly #board: SteppedBoard;

  constructor(board: SteppedBoard) {
    this.#board = board;
  }

  async open(): Promise<BytePort> {
    if (!this.isIn) throw new Error('There is no cable.');
    const { line } = this.#board.emulation;
    let closed: (why: string) => void = () => {};
    this.#port = { closed: (why) => closed(why) };
    return {
      label: this.label,
      write: (bytes) => {
        if (this.isIn) line.fromComputer(bytes);
      },
      onBytes: (listener) => line.open(listener),
      onClosed: (listener) => {
        closed = listener;
      },
      close: async () => line.close(),
    };
  }

  pull(): void {
    this.isIn = false;
    this.#board.emulation.line.close();
    this.#port?.closed('the cable was pulled out');
  }
}

export type RigOptions = {
  readonly kitYaml?: string;
  /** The engines that run from the beginning; those of the bench's own boat unless said otherwise. */
  readonly engines?: readonly string[];
  /** Sits between the node and its board, for a test that breaks one input. */
  readonly around?: (board: BoardLink) => BoardLink;
};

/**
 * The node itself in this process against the stock firmware on an emulated board, all on emulated time: the node's
 * timers are fake and move one millisecond for each of the board's. `stalled` freezes them as a hung event loop would.
 */
export class NodeRig {
  readonly folder = mkdtempSync(join(tmpdir(), 'elbowroom-rig-'));
  readonly kitPath = join(this.folder, 'kit.yaml');
  readonly secretPath = join(this.folder, 'link-secret');
  readonly plant: Plant<string>;
  readonly boat: BenchBoat;
  readonly board: SteppedBoard;
  readonly cable: Cable;
  stalled = false;
  node: RunningNode | undefined;
  readonly #around: (board: BoardLink) => BoardLink;

  constructor({
    kitYaml = benchKitYaml,
    engines = ['port', 'starboard'],
    around = (board) => board,
  }: RigOptions = {}) {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] });
    writeFileSync(this.kitPath, kitYaml);
    this.plant = new Plant<string>({
      seed: 7,
      engines: Object.fromEntries(engines.map((id) => [id, typicalEngine])),
    });
    for (const engine of engines) this.plant.setThrottle(engine, 0.75);
    for (let second = 0; second < 1200; second++) this.plant.step(1);
    this.boat = new BenchBoat(parseKit(kitYaml, 'bench kit'), this.plant, { seed: 7 });
    this.board = new SteppedBoard({ outside: this.boat });
    this.cable = new Cable(this.board);
    this.#around = around;
    this.board.everyMillisecond(() => {
      if (!this.stalled) vi.advanceTimersByTime(1);
    });
  }

  /** For whatever opens boards: this rig's one, whatever the kit says. */
  readonly openBoard = (_: string, clock: Clock): BoardLink => this.#around(new LiveBoard(this.cable, clock));

  async start(): Promise<RunningNode> {
    this.node = await runNode({
      kitPath: this.kitPath,
      linkListen: '127.0.0.1:0',
      dataDir: this.folder,
      linkSecret: this.secretPath,
      logLevel: 'error',
      clock: this.board.clock,
      openBoard: this.openBoard,
    });
    return this.node;
  }

  /** Until the heartbeat runs; the board alone takes two seconds to start. */
  async untilBeating(): Promise<void> {
    const { edges } = this.boat.missingPulse;
    await this.until(() => this.boat.missingPulse.edges >= edges + 5, 12);
  }

  until(done: () => boolean, withinS: number): Promise<void> {
    return this.board.advanceUntil(done, withinS);
  }

  get isSounding(): boolean {
    return this.boat.pins.missingPulseSounding;
  }

  /** Emulated seconds until the missing-pulse circuit sounds; fails after ten. */
  async untilSounding(): Promise<number> {
    const fromS = this.board.emulation.nowS;
    await this.until(() => this.isSounding, 10);
    return this.board.emulation.nowS - fromS;
  }

  /** Stops the node; its last wait needs time to pass, which nothing else moves now. */
  async stopNode(): Promise<void> {
    const stopping = this.node?.stop();
    this.node = undefined;
    let stopped = false;
    void stopping?.then(() => {
      stopped = true;
    });
    this.stalled = false;
    if (stopping) await this.until(() => stopped, 5);
  }

  async close(): Promise<void> {
    await this.stopNode();
    vi.useRealTimers();
    rmSync(this.folder, { recursive: true });
  }
}
