import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { vi } from 'vitest';
import { thermistorOhms } from '../../../calibration/index.js';
import type { BoardLink } from '../../../node/board/board-link.js';
import { type NodeOptions, type RunningNode, runNode } from '../../../node/run/run-node.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { cleanCounters } from '../../../node/wiring/replay-board.js';
import { thermistorCertificate, trueLaw } from '../../calibration/made-points.js';

const turn = setImmediate;
/** The real clock, also while a test has its own. */
const turnAfter = (ms: number, done: (value?: unknown) => void) => void realTimeout(done, ms);
const realTimeout = globalThis.setTimeout;
const passMs = 100;
const resistorOhms = 2_200;
const alarmC = 75;
export const coolC = 45;
export const hotC = alarmC + 15;

export const simpleKit = `kit: 1
boat: { name: Invented, invented: true }
board: { connection: /dev/none }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
baseline: baseline.yaml
link: { over: tcp, listen: "127.0.0.1:0" }
probes:
  - id: port-elbow
    name: Port wet elbow
    engine: port
    place: wet-elbow
    mounting: well
    certificate: certificates/port-elbow@1.json
    channel: { kind: ntc-divider, pin: A0, resistorOhms: ${resistorOhms}, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }
    limits:
      warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 }
      alarm: { raiseAtC: ${alarmC}, clearAtC: 70, holdS: 2 }
`;
const baseline = `baseline: 1
issue: 1
boat: Invented
madeAt: 2026-05-02T00:00:00Z
learnedFrom: { from: 2026-05-01T00:00:00Z, to: 2026-05-01T18:00:00Z, trips: 6 }
elbows: {}
`;

/**
 * The whole node on a boat with one elbow probe, in fake time: everything is real but the board, whose counts come from
 * `elbowC` and whose pins are looked at. Files and sockets are real.
 */
export class SimpleBoat {
  readonly folder = mkdtempSync(join(tmpdir(), 'elbowroom-boat-'));
  readonly kitPath = join(this.folder, 'kit.yaml');
  readonly certificatePath = join(this.folder, 'certificates', 'port-elbow@1.json');
  readonly baselinePath = join(this.folder, 'baseline.yaml');
  readonly dataDir = join(this.folder, 'data');
  elbowC = coolC;
  node: RunningNode | undefined;
  /** Instants of the pins' last changes and of each switching on of the buzzer. */
  lastBeatMs = Number.NEGATIVE_INFINITY;
  beats = 0;
  buzzerOnAtMs: number[] = [];
  nowMs = 0;
  /** Called in place of a pin's write, where a test breaks it. */
  breakPin: (() => void) | undefined;
  private onCounts: ((counts: number) => void)[] = [];
  private heartbeat = false;
  private buzzer = false;

  constructor() {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] });
    mkdirSync(join(this.folder, 'certificates'));
    writeFileSync(this.kitPath, simpleKit);
    writeFileSync(this.baselinePath, baseline);
    writeFileSync(this.certificatePath, JSON.stringify(thermistorCertificate()));
  }

  async start(options: Partial<NodeOptions> = {}): Promise<RunningNode> {
    const starting = runNode({
      kitPath: this.kitPath,
      dataDir: this.dataDir,
      linkSecret: join(this.folder, 'link-secret'),
      clock: {
        monotonicMs: () => asMonotonicMs(this.nowMs),
        wallMs: () => asWallMs(1_780_000_000_000 + this.nowMs),
      },
      openBoard: () => this.board(),
      ...options,
    });
    let settled = false;
    starting
      .catch(() => {})
      .finally(() => {
        settled = true;
      });
    // A start may wait for a file or a port, and passes are made meanwhile.
    for (let i = 0; !settled && i < 200; i++) await this.pass();
    this.node = await starting;
    return this.node;
  }

  async stop(): Promise<void> {
    let settled = false;
    const stopping = this.node?.stop().finally(() => {
      settled = true;
    });
    for (let i = 0; stopping && !settled && i < 40; i++) await this.pass();
    // What is left is files and sockets, in their own time.
    await stopping;
    this.node = undefined;
  }

  async remove(): Promise<void> {
    await this.stop();
    vi.useRealTimers();
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** As `remove`, where something hangs for ever and a stop would wait for it, as a killed process does not. */
  async abandon(): Promise<void> {
    const stopping = this.stop();
    await Promise.race([stopping, new Promise((done) => turnAfter(100, done))]);
    vi.useRealTimers();
    rmSync(this.folder, { recursive: true, force: true });
  }

  writeKit(text: string): void {
    writeFileSync(this.kitPath, text);
  }

  async run(seconds: number): Promise<void> {
    for (let i = 0; i < (seconds * 1000) / passMs; i++) await this.pass();
  }

  async until(done: () => boolean, withinS: number): Promise<boolean> {
    for (let i = 0; !done() && i < (withinS * 1000) / passMs; i++) await this.pass();
    return done();
  }

  alerts(): readonly string[] {
    const { notices = [] } = (this.node?.health() ?? {}) as { notices?: readonly string[] };
    return notices;
  }

  private async pass(): Promise<void> {
    this.nowMs += passMs;
    const ohms = thermistorOhms(trueLaw, this.elbowC);
    for (const listener of this.onCounts)
      for (let i = 0; i < 5; i++) listener(Math.round((1024 * ohms) / (ohms + resistorOhms)));
    vi.advanceTimersByTime(passMs);
    // Files and sockets are real, and have their own time.
    for (let i = 0; i < 3; i++) await new Promise((done) => turn(done));
  }

  private board(): BoardLink {
    const status = { state: 'connected', detail: 'invented', sinceMs: asMonotonicMs(0) } as const;
    return {
      analogInput: () => ({
        fullScaleCounts: 1024,
        onCounts: (listener) => void this.onCounts.push(listener),
      }),
      digitalInput: () => ({ onLevel: () => {} }),
      digitalOutput: (pin) => ({ write: (high) => this.wrote(pin, high) }),
      i2c: { read: async () => ({ kind: 'no-answer', why: 'timeout' }), write: async () => {} },
      unconfirmedMs: () => 0,
      status: () => status,
      onStatus: () => {},
      counters: () => cleanCounters,
      close: async () => {},
    };
  }

  private wrote(pin: number, high: boolean): void {
    this.breakPin?.();
    if (pin === 8 && high && !this.buzzer) this.buzzerOnAtMs.push(this.nowMs);
    if (pin === 8) this.buzzer = high;
    if (pin !== 10 || high === this.heartbeat) return;
    this.heartbeat = high;
    this.beats++;
    this.lastBeatMs = this.nowMs;
  }
}
