import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { nothingConnected, type ServedBoard, serveBoard } from '../../node/bench/board/start-board.js';
import type { BoardLink } from '../../node/board/board-link.js';
import { openBoard } from '../../node/board/open-board.js';
import { systemClock } from '../../node/time/clock.js';
import { until } from './house/running-command.js';

describe('a board with a blinking sketch instead of the stock firmware', () => {
  const blinks: boolean[] = [];
  let board: ServedBoard;
  let link: BoardLink;
  beforeAll(async () => {
    board = await serveBoard({
      firmware: 'blink',
      outside: { ...nothingConnected, onOutput: (pin, high) => pin === 13 && blinks.push(high) },
    });
    link = openBoard(`tcp://127.0.0.1:${board.port.port}`, systemClock);
  });
  afterAll(async () => {
    await link?.close();
    await board?.close();
  });

  it('runs its own sketch, and the node says that nothing there answers with Firmata', async () => {
    await until('the lamp to blink', () => blinks.length > 4);
    await until('no-firmware', () => link.status().trouble === 'no-firmware');
    expect(link.status()).toMatchObject({ state: 'connecting' });
    expect(link.status().detail).toMatch(/flash/);
  });
});
