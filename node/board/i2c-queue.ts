import type { I2cAnswer, I2cBus } from '../bus/i2c-bus.js';
import type { Clock } from '../time/clock.js';
import { echoMarks } from './firmata-protocol.js';
import type { ExpectedRead } from './frame-gate.js';

/** How the queue puts a request on the wire. `stop` forgets the listener of a read that got no answer. */
export interface I2cWire {
  startRead(
    address: number,
    register: number,
    byteCount: number,
    onReply: (bytes: number[]) => void,
  ): { stop(): void };
  write(address: number, bytes: readonly number[]): void;
  /** Has the firmware say `mark` when it has done everything that was asked before. */
  echo(mark: number): void;
}

export const i2cTiming = {
  /** A healthy read takes 4 ms, a busy USB bridge adds 16; a stuck chip holds the firmware for ever. */
  answerWithinMs: 600,
  /** After a timeout a late answer may still come; nothing is asked until it would have. */
  quietAfterTimeoutMs: 30,
  /** The firmware says nothing after a write; this is the time it needs on the bus. */
  afterWriteMs: 3,
  /** A device that timed out is left alone, twice as long each time: waiting for it starves the others. */
  firstRestMs: 1000,
  longestRestMs: 16_000,
} as const;

/** More waiting requests than any kit has chips, times the registers of a chip. */
const mostWaiting = 64;

type Job = {
  readonly address: number;
  /** Puts the request on the wire; resolves when the bus is free again. */
  readonly run: () => Promise<void>;
  /** Ends the job without having touched the wire. */
  readonly decline: (answer: I2cAnswer) => void;
};

type Rest = { readonly untilMs: number; readonly lengthMs: number };

/**
 * One request in flight. The stock firmware answers for an absent device with stale bytes of another, and
 * the only sign is a text just before: so any text, and anything refused at the gate, voids the answer.
 */
export class I2cQueue implements I2cBus {
  readonly #wire: I2cWire;
  readonly #clock: Clock;
  readonly #jobs: Job[] = [];
  readonly #rests = new Map<number, Rest>();
  #busy = false;
  #connected = false;
  #unanswered = 0;
  #mark = 0;
  #current:
    | (ExpectedRead & {
        readonly mark: number;
        void(answer: I2cAnswer): void;
        finish(answer: I2cAnswer): void;
      })
    | undefined;

  constructor(wire: I2cWire, clock: Clock) {
    this.#wire = wire;
    this.#clock = clock;
  }

  /** The read whose answer may come now. */
  get inFlight(): ExpectedRead | undefined {
    return this.#current;
  }

  get unanswered(): number {
    return this.#unanswered;
  }

  setConnected(connected: boolean): void {
    this.#connected = connected;
    this.#rests.clear();
    if (connected) return;
    this.#current?.finish(boardDisconnected);
    for (const job of this.#jobs.splice(0)) job.decline(boardDisconnected);
  }

  /** The firmware complained of its bus: the answer that follows is stale bytes. */
  firmwareComplained(text: string): void {
    this.#current?.void(noAnswer('not-acknowledged', text));
  }

  /** A reply passed the gate. After a complaint it is the stale one, whatever address it bears. */
  replyCame(): void {
    if (this.#current?.isVoid) this.#current.finish(boardDisconnected);
  }

  /** The firmware has come past a request: an answer that is not here by now was lost, or the request was. */
  echoCame(mark: number): void {
    if (this.#current?.mark === mark) this.#current.finish(noAnswer('garbled'));
  }

  /** The gate refused something: it may have been that very complaint. */
  linkDamaged(): void {
    this.#current?.void(noAnswer('garbled'));
  }

  read(address: number, register: number, byteCount: number): Promise<I2cAnswer> {
    return new Promise((resolve) => {
      const settle = (answer: I2cAnswer) => {
        if (answer.kind === 'no-answer') this.#unanswered += 1;
        resolve(answer);
      };
      const run = async () => {
        let answer = await this.#attempt(address, register, byteCount);
        // One byte damaged on its way costs one answer; a chip that is gone gives none the second time either.
        if (answer.kind === 'no-answer' && this.#connected) {
          answer = await this.#attempt(address, register, byteCount);
          if (answer.kind === 'no-answer' && answer.why === 'timeout') this.#rest(address);
        }
        if (answer.kind === 'bytes') this.#rests.delete(address);
        settle(answer);
      };
      this.#enqueue({ address, run, decline: settle });
    });
  }

  write(address: number, bytes: readonly number[]): Promise<void> {
    return new Promise((resolve) => {
      const run = async () => {
        this.#wire.write(address, bytes);
        await pause(i2cTiming.afterWriteMs);
        resolve();
      };
      this.#enqueue({ address, run, decline: () => resolve() });
    });
  }

  #enqueue(job: Job): void {
    if (!this.#connected) job.decline(boardDisconnected);
    else if (this.#jobs.length >= mostWaiting)
      job.decline(noAnswer('timeout', `${mostWaiting} requests are waiting`));
    else {
      this.#jobs.push(job);
      void this.#work();
    }
  }

  async #work(): Promise<void> {
    if (this.#busy) return;
    this.#busy = true;
    for (let job = this.#jobs.shift(); job !== undefined; job = this.#jobs.shift()) {
      const rest = this.#rests.get(job.address);
      if (rest !== undefined && this.#clock.monotonicMs() < rest.untilMs)
        job.decline(noAnswer('timeout', 'left alone for a while after it did not answer'));
      else await this.#runGuarded(job);
    }
    this.#busy = false;
  }

  /** A request that throws, as when its port is gone under it, fails alone and does not block the queue. */
  async #runGuarded(job: Job): Promise<void> {
    try {
      await job.run();
    } catch (error) {
      job.decline(noAnswer('garbled', (error as Error).message));
    }
  }

  async #attempt(address: number, register: number, byteCount: number): Promise<I2cAnswer> {
    const answer = await this.#runRead(address, register, byteCount);
    if (answer.kind === 'no-answer' && answer.why === 'timeout') await pause(i2cTiming.quietAfterTimeoutMs);
    return answer;
  }

  #runRead(address: number, register: number, byteCount: number): Promise<I2cAnswer> {
    return new Promise((resolve) => {
      let complaint: I2cAnswer | undefined;
      let onTheWire: { stop(): void } | undefined;
      const finish = (answer: I2cAnswer) => {
        clearTimeout(giveUp);
        onTheWire?.stop();
        this.#current = undefined;
        resolve(answer);
      };
      const giveUp = setTimeout(() => finish(complaint ?? noAnswer('timeout')), i2cTiming.answerWithinMs);
      this.#mark = (this.#mark + 1) % echoMarks.count;
      const mark = echoMarks.first + this.#mark;
      this.#current = {
        mark,
        address,
        register,
        byteCount,
        get isVoid() {
          return complaint !== undefined;
        },
        void: (answer) => {
          complaint ??= answer;
        },
        finish: (answer) => finish(complaint ?? answer),
      };
      try {
        onTheWire = this.#wire.startRead(address, register, byteCount, (bytes) => {
          const answer: I2cAnswer =
            bytes.length === byteCount ? { kind: 'bytes', bytes } : noAnswer('wrong-length');
          finish(complaint ?? answer);
        });
        this.#wire.echo(mark);
      } catch (error) {
        finish(noAnswer('garbled', (error as Error).message));
      }
    });
  }

  #rest(address: number): void {
    const before = this.#rests.get(address)?.lengthMs ?? i2cTiming.firstRestMs / 2;
    const lengthMs = Math.min(before * 2, i2cTiming.longestRestMs);
    this.#rests.set(address, { lengthMs, untilMs: this.#clock.monotonicMs() + lengthMs });
  }
}

type Why = Extract<I2cAnswer, { kind: 'no-answer' }>['why'];

const noAnswer = (why: Why, detail?: string): I2cAnswer => ({
  kind: 'no-answer',
  why,
  ...(detail === undefined ? {} : { detail }),
});

const boardDisconnected = noAnswer('board-away');
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
