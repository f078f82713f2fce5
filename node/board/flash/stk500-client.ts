import type { BytePort } from '../byte-port.js';

/** STK500 communication protocol, version 1: Atmel application note AVR061 (2003), commands and answers. */
const stk500 = {
  getSync: 0x30,
  enterProgramming: 0x50,
  leaveProgramming: 0x51,
  loadAddress: 0x55,
  programPage: 0x64,
  readPage: 0x74,
  readSignature: 0x75,
  endOfCommand: 0x20,
  inSync: 0x14,
  ok: 0x10,
  flashMemory: 0x46,
} as const;

/** A page of 128 bytes takes 12 ms at 115,200 baud and 5 ms to write; the old bootloader at 57,600 is slower. */
const answerWithinMs = 500;
/** A bootloader answers earlier attempts late; what is on its way then must not pass for the next answer. */
const strayAnswersMs = 250;

/** Talks to a bootloader that speaks STK500 version 1, one command at a time. Rejects with a plain Error. */
export class Stk500Client {
  readonly #port: BytePort;
  #received: number[] = [];
  #onBytes: (() => void) | undefined;

  constructor(port: BytePort) {
    this.#port = port;
    port.onBytes((bytes) => {
      this.#received.push(...bytes);
      this.#onBytes?.();
    });
  }

  /** Calls until the bootloader answers. Rejects after `attempts` calls in vain. */
  async sync(attempts: number): Promise<void> {
    for (let attempt = 1; ; attempt++) {
      try {
        await this.#command([stk500.getSync], 0);
        await pause(strayAnswersMs);
        return;
      } catch (cause) {
        if (attempt >= attempts) throw cause;
      }
    }
  }

  /** Three bytes that name the chip; 1e 95 0f is an ATmega328P. */
  readSignature(): Promise<number[]> {
    return this.#command([stk500.readSignature], 3);
  }

  async enterProgramming(): Promise<void> {
    await this.#command([stk500.enterProgramming], 0);
  }

  async leaveProgramming(): Promise<void> {
    await this.#command([stk500.leaveProgramming], 0);
  }

  /** `address` counts bytes and must be even: the protocol counts words of two. */
  async writePage(address: number, page: Uint8Array): Promise<void> {
    await this.#loadAddress(address);
    const { length } = page;
    await this.#command([stk500.programPage, length >> 8, length & 0xff, stk500.flashMemory, ...page], 0);
  }

  async readPage(address: number, length: number): Promise<number[]> {
    await this.#loadAddress(address);
    return this.#command([stk500.readPage, length >> 8, length & 0xff, stk500.flashMemory], length);
  }

  async #loadAddress(address: number): Promise<void> {
    const words = address >> 1;
    await this.#command([stk500.loadAddress, words & 0xff, words >> 8], 0);
  }

  /** Sends a command and gives what stands between "in sync" and "ok". */
  async #command(command: readonly number[], answerLength: number): Promise<number[]> {
    this.#received = [];
    this.#port.write(Uint8Array.from([...command, stk500.endOfCommand]));
    await this.#until(answerLength + 2);
    const answer = this.#received;
    if (
      answer[0] !== stk500.inSync ||
      answer[answerLength + 1] !== stk500.ok ||
      answer.length > answerLength + 2
    )
      throw new Error(`the bootloader answered ${hex(answer)} to command ${hex(command.slice(0, 1))}`);
    return answer.slice(1, -1);
  }

  #until(byteCount: number): Promise<void> {
    return new Promise((resolve, reject) => {
      const finish = (error?: Error) => {
        clearTimeout(giveUp);
        this.#onBytes = undefined;
        if (error === undefined) resolve();
        else reject(error);
      };
      const giveUp = setTimeout(() => {
        const got = this.#received.length === 0 ? 'nothing' : hex(this.#received);
        finish(new Error(`the bootloader said ${got} within ${answerWithinMs} ms`));
      }, answerWithinMs);
      this.#onBytes = () => {
        if (this.#received.length >= byteCount) finish();
      };
    });
  }
}

const hex = (bytes: readonly number[]): string =>
  bytes.map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
