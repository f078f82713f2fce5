import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { firmwareVersions } from '../../node/bench/board/firmware-image.js';
import { type ServedBoard, serveBoard } from '../../node/bench/board/start-board.js';
import { type BoardLink, openBoard } from '../../node/board/open-board.js';
import { Mcp960x } from '../../node/chips/mcp960x.js';
import { systemClock } from '../../node/clock.js';
import { Bench, boardOnPty, StillChip } from './board-rig.js';
import { until } from './house/running-command.js';

const open: (BoardLink | { close(): Promise<void> })[] = [];
afterEach(async () => {
  for (const one of open.splice(0)) await one.close();
});

const linkTo = (connection: string): BoardLink => {
  const link = openBoard({ connection, clock: systemClock });
  open.push(link);
  return link;
};
const connected = (link: BoardLink) => until('connected', () => link.status().state === 'connected');

async function served(bench: Bench, firmware: (typeof firmwareVersions)[number]): Promise<ServedBoard> {
  const board = await serveBoard({ firmware, outside: bench.outside });
  open.push(board);
  return board;
}
const addressOf = (board: ServedBoard) => `tcp://127.0.0.1:${board.port.port}`;

describe.each(firmwareVersions)('a board with stock firmware %s', (firmware) => {
  it('gives counts, levels and chip readings, drives its outputs, and names what is absent', async () => {
    const bench = new Bench();
    bench.analog.set(0, 100.5).set(2, 700.5);
    bench.levels.set(7, false);
    bench.chips.push(new StillChip(0x60, 4096, 25));
    const link = linkTo(addressOf(await served(bench, firmware)));

    const counts = new Map<number, number>();
    for (const channel of [0, 2]) link.analogInput(`A${channel}`).onCounts((c) => counts.set(channel, c));
    const levels: boolean[] = [];
    link.digitalInput(7, { pullUp: true }).onLevel((high) => levels.push(high));
    const buzzer = link.digitalOutput(8);
    buzzer.write(true);
    await connected(link);
    expect(link.status()).toMatchObject({ firmware: expect.stringContaining(`StandardFirmata`) });

    await until('counts', () => counts.size === 2);
    expect([...counts]).toEqual([
      [0, 100],
      [2, 700],
    ]);
    await until('first level', () => levels.length === 1);
    bench.levels.set(7, true);
    await until('second level', () => levels.length === 2);
    expect(levels).toEqual([false, true]);
    await until('buzzer', () => bench.lastLevel(8) === true);
    buzzer.write(false);
    await until('silence', () => bench.lastLevel(8) === false);

    const chip = new Mcp960x(link.i2c, 0x60, { thermocouple: 'K' });
    expect(await chip.read()).toMatchObject({ emfMicrovolts: 4096, coldJunctionC: 25 });
    // The firmware answers for an absent device with the bytes of the last one: only its complaint tells.
    expect(await link.i2c.read(0x61, 0x20, 2)).toMatchObject({ why: 'not-acknowledged' });
    expect(await chip.read()).toMatchObject({ emfMicrovolts: 4096 });
    expect(link.counters()).toMatchObject({ connects: 1, refused: 0, outputsMended: 0, i2cUnanswered: 1 });
  });

  it('is found again after the cable was out, with its levels and outputs, and nothing heard in between', async () => {
    const bench = new Bench();
    bench.analog.set(0, 300.5);
    bench.levels.set(7, true);
    const board = await served(bench, firmware);
    const link = linkTo(addressOf(board));
    let heard = 0;
    link.analogInput('A0').onCounts(() => {
      heard += 1;
    });
    const levels: boolean[] = [];
    link.digitalInput(7, { pullUp: false }).onLevel((high) => levels.push(high));
    link.digitalOutput(8).write(true);
    await until('counts', () => heard > 10 && levels.length === 1);

    await board.port.unplug();
    await until('lost', () => link.status().state === 'lost');
    const before = heard;
    bench.levels.set(7, false);
    bench.outputs.length = 0;
    expect(await link.i2c.read(0x60, 0x20, 2)).toMatchObject({ why: 'board-away' });
    await until('a retry in vain', () => link.status().trouble === 'no-port');
    expect(heard).toBe(before);
    await board.port.plug();
    await connected(link);
    await until('counts again', () => heard > before && levels.length === 2);
    expect(levels).toEqual([true, false]);
    await until('buzzer again', () => bench.lastLevel(8) === true);
    expect(link.counters()).toMatchObject({ connects: 2, refused: 0 });
  });
});

describe('a board behind a pseudo-terminal, opened by the real serial binding', () => {
  it('is read, lost and found again when the terminal vanishes and comes back', async () => {
    const bench = new Bench();
    bench.analog.set(1, 512.5);
    const path = join(mkdtempSync(join(tmpdir(), 'board-')), 'tty');
    const board = await boardOnPty(path, bench);
    open.push(board);
    const link = linkTo(path);
    let heard = 0;
    link.analogInput('A1').onCounts((counts) => {
      heard += Number(counts === 512);
    });
    await until('counts', () => heard > 10);
    await board.port.unplug();
    await until('lost', () => link.status().state === 'lost');
    await until('no port', () => link.status().trouble === 'no-port');
    const before = heard;
    await board.port.plug();
    await until('counts again', () => heard > before + 10);
    expect(link.counters()).toMatchObject({ connects: 2 });
  });
});

describe('what is not a board', () => {
  it('a port where nobody listens is named with its address', async () => {
    const link = linkTo('tcp://127.0.0.1:1');
    await until('trouble', () => link.status().trouble === 'no-port');
    expect(link.status()).toMatchObject({
      state: 'connecting',
      detail: expect.stringContaining('127.0.0.1:1'),
    });
  });

  it('a missing serial path says what to do', async () => {
    const link = linkTo('/dev/tty-that-is-not-there');
    await until('trouble', () => link.status().trouble === 'no-port');
    expect(link.status().detail).toContain('auto');
  });

  it('a pin the board does not have is named while the rest works', async () => {
    const bench = new Bench();
    bench.analog.set(0, 10.5);
    const link = linkTo(addressOf(await served(bench, '2.5')));
    let heard = 0;
    link.analogInput('A0').onCounts(() => {
      heard += 1;
    });
    link.analogInput('A9');
    link.digitalOutput(44);
    await until('counts', () => heard > 3);
    expect(link.status().detail).toMatch(/no pin A9.*no pin 44/);
  });
});
