import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { stockFirmware } from '../../node/board/flash/firmware-image.js';
import { serveFactoryBoard } from './bootloader-rig.js';
import { startCommand } from './house/running-command.js';
import { PtyPort } from './pty-port.js';

/** The compiled command as its user types it, against a board that runs its real bootloader beside it. */
const cleanUp: (() => unknown)[] = [];
afterEach(async () => {
  for (const act of cleanUp.splice(0).reverse()) await act();
});

const serve = async (kind: 'uno' | 'mega') => {
  const served = await serveFactoryBoard(kind);
  cleanUp.push(() => served.close());
  return served;
};
const image = Buffer.from(stockFirmware('2.5').buffer);

it('flash behind a socket: a line for every tenth, then what is on the board and what is next', async () => {
  const { address, program } = await serve('uno');
  const command = startCommand('flash', address);
  cleanUp.push(() => command.kill());
  expect(await command.ended).toBe(0);
  const tenths = (doing: string) => Array.from({ length: 11 }, (_, tenth) => `${doing} ${tenth * 10} %\n`);
  expect(command.said()).toBe(
    [
      ...tenths('writing'),
      ...tenths('checking'),
      `StandardFirmata 2.5 is on the board at ${address}: 11124 bytes written and read back. Next: elbowroom wiring\n`,
    ].join(''),
  );
  expect(program().equals(image.subarray(0, program().length))).toBe(true);
});

it('flash at a terminal that resets nothing: it works when the reset button is pressed just as it starts', async () => {
  const { emulation, program } = await serve('uno');
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-flash-'));
  const terminal = new PtyPort(emulation.line, join(folder, 'board'));
  cleanUp.push(
    () => rmSync(folder, { recursive: true }),
    () => terminal.unplug(),
  );
  await terminal.plug();
  const pass = emulation.line.fromComputer.bind(emulation.line);
  let pressed = false;
  emulation.line.fromComputer = (bytes) => {
    if (!pressed) emulation.board.reset();
    pressed = true;
    pass(bytes);
  };
  const command = startCommand('flash', join(folder, 'board'), '--json');
  cleanUp.push(() => command.kill());
  expect(await command.ended).toBe(0);
  expect(command.said()).toContain('"bytes":11124,"pages":87');
  expect(program().equals(image.subarray(0, program().length))).toBe(true);
});

it.each([
  ['mega', 'uno', 'is no Arduino Uno, or a Nano with the new bootloader: it answers as Arduino Mega 2560.'],
  ['uno', 'mega', 'is no Arduino Mega 2560: it answers as Arduino Uno, or a Nano with the new bootloader.'],
] as const)('a %s on --board %s is refused and named, with the line to type', async (kind, asked, words) => {
  const { address, program } = await serve(kind);
  const command = startCommand('flash', address, '--board', asked);
  cleanUp.push(() => command.kill());
  expect(await command.ended).toBe(3);
  expect(command.said()).toContain(`No answer as ${asked}; asking whether it is ${kind}`);
  expect(command.said()).toContain(
    `The board at ${address} ${words} Nothing was written. If that is the board you mean: elbowroom flash ${address} --board ${kind}`,
  );
  expect(program().every((byte) => byte === 0xff)).toBe(true);
});
