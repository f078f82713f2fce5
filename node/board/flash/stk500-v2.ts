import stk500V2Client, { type Packet } from 'stk500-v2';
import { type Bootloader, waitForStrayAnswers } from './bootloader.js';
import type { PortStream } from './port-stream.js';

/** The library waits 200 ms for each. */
const calls = 12;

/** STK500 version 2, Atmel application note AVR068: commands and the status of a good answer. */
const readFlash = 0x14;
const readWithCommand = 0x20;
const statusOk = 0x00;

/**
 * The Mega's bootloader, through stk500-v2 1.0.4, which frames, numbers, sums and times out. It looks at no
 * answer's status and reads nothing back (its `verify` is empty), so both are done here.
 */
export function stk500V2(stream: PortStream): Bootloader {
  const chip = stk500V2Client(stream);
  let status: number | undefined;
  chip.parser.on('data', ({ message }: Packet) => {
    status = message[1];
  });
  const ask = async <Answer>(question: Parameters<typeof stream.ask<Answer>>[0]): Promise<Answer> => {
    const answer = await stream.ask(question);
    if (status !== statusOk) throw new Error(`it refuses with status ${status}`);
    return answer;
  };
  const loadAddress = (address: number) => ask((done) => chip.loadAddress(address >> 1, done));
  return {
    async sync() {
      await ask((done) => chip.sync(calls, done));
      await waitForStrayAnswers();
    },
    signature: () => ask<Buffer>((done) => chip.getSignature(done)),
    async beginProgramming() {
      await ask((done) => chip.enterProgrammingMode({}, done));
    },
    async writePage(address, page) {
      await loadAddress(address);
      await ask((done) => chip.loadPage(Buffer.from(page), done));
    },
    async readPage(address, byteCount) {
      await loadAddress(address);
      const command = Buffer.from([readFlash, byteCount >> 8, byteCount & 0xff, readWithCommand]);
      const { message } = await ask<Packet>((done) => chip.parser.send(command, done));
      return message.subarray(2, -1);
    },
    async leave() {
      await ask((done) => chip.exitProgrammingMode(done));
    },
  };
}
