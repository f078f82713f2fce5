import type { Clock, MonotonicMs } from '../time/clock.js';
import type { BytePort, PortOpener } from './byte-port.js';
import { firmwareLabel, pinMapFingerprint } from './firmware.js';
import type { Frame } from './frames.js';
import { Handshake } from './handshake.js';
import type { BoardStatus, BoardTrouble } from './status.js';
import type { Phase, SupervisedBoard } from './supervised-board.js';

export const supervision = {
  tickMs: 50,
  /** No byte for this long on an open port: the cable is out and the system has not said so. */
  silenceMs: 700,
  /** Bytes, and no message among them that makes sense. */
  nonsenseMs: 2000,
  firstRetryMs: 100,
  longestRetryMs: 2000,
  /** No whole scan for this long from a board that answers: an order of ours was damaged on its way. */
  scanlessMs: 500,
  /** A link that lived this long was good: the next retry is quick again. */
  provenAfterMs: 5000,
} as const;

/** Opens, identifies, watches and reopens, for as long as the node lives. Every wait in it is bounded. */
export class Supervisor {
  readonly #opener: PortOpener;
  readonly #board: SupervisedBoard;
  readonly #clock: Clock;
  readonly #timer: NodeJS.Timeout;
  #phase: Phase = { kind: 'waiting', untilMs: Number.NEGATIVE_INFINITY };
  #status: BoardStatus;
  #lastTickMs: number;
  #lastByteMs = 0;
  #lastFrameMs = 0;
  #lastScanMs = 0;
  #failures = 0;
  #fingerprint: string | undefined;
  #connects = 0;
  #resets = 0;
  /** The last port stayed silent; its board may have been held in its bootloader by our questions. */
  #beginsQuietly = false;

  constructor(opener: PortOpener, board: SupervisedBoard, clock: Clock) {
    this.#opener = opener;
    this.#board = board;
    this.#clock = clock;
    const nowMs = clock.monotonicMs();
    this.#lastTickMs = nowMs;
    this.#status = { state: 'connecting', detail: `Opening ${opener.label}.`, sinceMs: nowMs };
    this.#timer = setInterval(() => this.#tick(), supervision.tickMs);
  }

  get status(): BoardStatus {
    return this.#status;
  }

  get isRunning(): boolean {
    return this.#phase.kind === 'running';
  }

  get connects(): number {
    return this.#connects;
  }

  get resets(): number {
    return this.#resets;
  }

  async close(): Promise<void> {
    clearInterval(this.#timer);
    const port = 'port' in this.#phase ? this.#phase.port : undefined;
    this.#phase = { kind: 'closed' };
    this.#board.detach();
    await port?.close();
  }

  takeFrame(frame: Frame): void {
    const nowMs = this.#clock.monotonicMs();
    this.#lastFrameMs = nowMs;
    if (frame.kind === 'analog') this.#lastScanMs = nowMs;
    if (this.#phase.kind === 'identifying') this.#advance(this.#phase.handshake.take(frame, nowMs));
    else if (this.#phase.kind === 'running' && frame.kind === 'firmware') {
      // It was not asked for: the board has restarted and forgotten its pins.
      this.#resets += 1;
      this.setUpAgain();
    }
  }

  /** Orders everything once more from a board that is there: it was found not to follow its orders. */
  setUpAgain(): void {
    if (this.#phase.kind !== 'running') return;
    this.#lastScanMs = this.#clock.monotonicMs();
    this.#board.setUp(this.#phase.identity);
  }

  #tick(): void {
    const nowMs = this.#clock.monotonicMs();
    // When this process itself was stopped, the bytes of that time still wait in the system's buffers.
    const oversleptMs = Math.max(0, nowMs - this.#lastTickMs - 2 * supervision.tickMs);
    this.#lastTickMs = nowMs;
    this.#lastByteMs += oversleptMs;
    this.#lastFrameMs += oversleptMs;
    this.#lastScanMs += oversleptMs;
    const phase = this.#phase;
    switch (phase.kind) {
      case 'waiting':
        if (nowMs >= phase.untilMs) void this.#open();
        break;
      case 'identifying':
        this.#advance(phase.handshake.tick(nowMs));
        break;
      case 'running':
        this.#watch(phase.port, nowMs);
        break;
      case 'opening':
      case 'closed':
        break;
    }
  }

  #watch(port: BytePort, nowMs: MonotonicMs): void {
    if (nowMs - this.#lastByteMs > supervision.silenceMs)
      this.#drop(
        'silent',
        `No byte from ${port.label} for ${supervision.silenceMs} ms. Check the cable and the board's supply.`,
      );
    else if (nowMs - this.#lastFrameMs > supervision.nonsenseMs)
      this.#drop(
        'garbled',
        `Bytes from ${port.label} make no sense. Check the cable, its length and its shield.`,
      );
    else if (this.#board.awaitsScans() && nowMs - this.#lastScanMs > supervision.scanlessMs)
      this.setUpAgain();
  }

  async #open(): Promise<void> {
    this.#phase = { kind: 'opening' };
    let port: BytePort;
    try {
      port = await this.#opener.open();
    } catch (cause) {
      if (!this.#isClosed()) this.#retry('no-port', cause instanceof Error ? cause.message : String(cause));
      return;
    }
    if (this.#isClosed()) {
      await port.close();
      return;
    }
    const nowMs = this.#clock.monotonicMs();
    this.#lastByteMs = nowMs;
    this.#lastFrameMs = nowMs;
    port.onBytes((bytes) => {
      if (!this.#isCurrent(port)) return;
      this.#lastByteMs = this.#clock.monotonicMs();
      this.#board.takeBytes(bytes);
    });
    port.onClosed((why) => {
      if (this.#isCurrent(port)) this.#drop('link-down', `The link to ${port.label} was lost: ${why}.`);
    });
    const handshake = new Handshake((bytes) => this.#board.ask(bytes), nowMs, this.#beginsQuietly);
    this.#phase = { kind: 'identifying', port, handshake };
    this.#board.attach(port);
  }

  #advance(outcome: ReturnType<Handshake['tick']>): void {
    if (outcome.kind === 'waiting' || this.#phase.kind !== 'identifying') return;
    if (outcome.kind === 'refused') {
      if (outcome.trouble === 'no-firmware') this.#beginsQuietly = !this.#beginsQuietly;
      this.#drop(outcome.trouble, outcome.detail);
      return;
    }
    const { firmware, pinMap } = outcome;
    const fingerprint = pinMapFingerprint(pinMap);
    this.#fingerprint ??= fingerprint;
    if (fingerprint !== this.#fingerprint) {
      this.#drop(
        'other-board',
        'A board of another kind answers than the one this node started with. Plug the first one in again, or restart the node.',
      );
      return;
    }
    const { port } = this.#phase;
    const sinceMs = this.#clock.monotonicMs();
    this.#phase = { kind: 'running', port, identity: { firmware, pinMap }, sinceMs };
    this.#connects += 1;
    this.#lastScanMs = sinceMs;
    this.#opener.carriesFirmware?.(port.label);
    this.#board.setUp({ firmware, pinMap });
    const label = firmwareLabel(firmware);
    const detail = `${label} at ${port.label}.`;
    this.#setStatus({ state: 'connected', detail, sinceMs, firmware: label, port: port.label });
  }

  /** Closes the port and tries again; the port's own close event is then ignored. */
  #drop(trouble: BoardTrouble, detail: string): void {
    const phase = this.#phase;
    if (phase.kind === 'running' && this.#clock.monotonicMs() - phase.sinceMs > supervision.provenAfterMs)
      this.#failures = 0;
    this.#phase = { kind: 'opening' };
    this.#board.detach();
    const closed = 'port' in phase ? phase.port.close() : Promise.resolve();
    this.#announce(trouble, detail);
    void closed.then(() => {
      if (!this.#isClosed()) this.#retry(trouble, detail);
    });
  }

  #retry(trouble: BoardTrouble, detail: string): void {
    const waitMs = Math.min(supervision.firstRetryMs * 2 ** this.#failures, supervision.longestRetryMs);
    this.#failures = Math.min(this.#failures + 1, 10);
    this.#phase = { kind: 'waiting', untilMs: this.#clock.monotonicMs() + waitMs };
    this.#announce(trouble, detail);
  }

  #announce(trouble: BoardTrouble, detail: string): void {
    const { state, trouble: before, detail: detailBefore, sinceMs } = this.#status;
    if (trouble === before && detail === detailBefore) return;
    const next = this.#connects === 0 ? 'connecting' : 'lost';
    this.#setStatus({
      state: next,
      trouble,
      detail,
      sinceMs: next === state ? sinceMs : this.#clock.monotonicMs(),
    });
  }

  #setStatus(status: BoardStatus): void {
    this.#status = status;
    this.#board.onStatus();
  }

  #isCurrent(port: BytePort): boolean {
    return 'port' in this.#phase && this.#phase.port === port;
  }

  /** A method, because the compiler believes that a field cannot change while a promise is awaited. */
  #isClosed(): boolean {
    return this.#phase.kind === 'closed';
  }
}
