import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { serveBoard } from '../../node/bench/board/start-board.js';
import type { BoardLink } from '../../node/board/board-link.js';
import { openBoard } from '../../node/board/open-board.js';
import { systemClock } from '../../node/time/clock.js';
import { Bench } from './board-rig.js';
import { until } from './house/running-command.js';
import { serveBoardOnTerminal } from './pty-port.js';

const open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const one of open.splice(0).reverse()) await one.close();
});

const linkTo = (connection: string): BoardLink => {
  const link = openBoard(connection, systemClock);
  open.push(link);
  return link;
};

const benchWithCounts = () => {
  const bench = new Bench();
  bench.analog.set(1, 512.5);
  return bench;
};

const countsOf = (link: BoardLink): { counts: number } => {
  const seen = { counts: 0 };
  link.analogInput('A1').onCounts((counts) => {
    seen.counts += Number(counts === 512);
  });
  return seen;
};

describe('real ports, at wall pace', () => {
  it('a pseudo-terminal through the real serial binding: read, lost when it vanishes, found again', async () => {
    const path = join(mkdtempSync(join(tmpdir(), 'board-')), 'tty');
    const board = await serveBoardOnTerminal({ link: path, outside: benchWithCounts().outside });
    open.push(board);
    const link = linkTo(path);
    const seen = countsOf(link);
    await until('counts', () => seen.counts > 10);
    await board.port.unplug();
    await until('no port', () => link.status().trouble === 'no-port');
    expect(link.status().state).toBe('lost');
    const before = seen.counts;
    await board.port.plug();
    await until('counts again', () => seen.counts > before + 10);
  });

  it('a socket: read, lost when it closes, found again', async () => {
    const board = await serveBoard({ outside: benchWithCounts().outside });
    open.push(board);
    const link = linkTo(`tcp://127.0.0.1:${board.port.port}`);
    const seen = countsOf(link);
    await until('counts', () => seen.counts > 10);
    await board.port.unplug();
    await until('no port', () => link.status().trouble === 'no-port');
    const before = seen.counts;
    await board.port.plug();
    await until('counts again', () => seen.counts > before + 10);
  });

  it('a port where nothing listens is named with its address', async () => {
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
});
