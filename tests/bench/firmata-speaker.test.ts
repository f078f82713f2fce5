import { describe, expect, it } from 'vitest';
import { Bench, StillChip } from './board-rig.js';
import { FirmataSpeaker } from './firmata-speaker.js';
import { SteppedBoard } from './stepped-board.js';

/** What a computer may ask, one after the other; Firmata protocol 2, restated. */
const script: readonly (readonly [what: string, ...bytes: number[]])[] = [
  ['version', 0xf9],
  ['firmware', 0xf0, 0x79, 0xf7],
  ['capabilities', 0xf0, 0x6b, 0xf7],
  ['analogue mapping', 0xf0, 0x69, 0xf7],
  ['I2C on', 0xf0, 0x78, 0, 0, 0xf7],
  ['pin 8 as output', 0xf4, 8, 1],
  ['pin 8 high', 0x91, 1, 0],
  ['state of pin 8', 0xf0, 0x6d, 8, 0xf7],
  ['state of a pin that is not there', 0xf0, 0x6d, 100, 0xf7],
  ['pin 7 as input with pull-up', 0xf4, 7, 11],
  ['state of pin 7', 0xf0, 0x6d, 7, 0xf7],
  ['levels of port 0', 0xd0, 1],
  ['no levels of port 0', 0xd0, 0],
  ['id of a chip', 0xf0, 0x76, 0x60, 8, 0x20, 0, 2, 0, 0xf7],
  ['voltage of a chip', 0xf0, 0x76, 0x60, 8, 3, 0, 3, 0, 0xf7],
  [
    'a chip that is not there: complaint, then the bytes of the last answer',
    0xf0,
    0x76,
    0x61,
    8,
    3,
    0,
    3,
    0,
    0xf7,
  ],
  ['writing a register', 0xf0, 0x76, 0x60, 0, 5, 0, 0x12, 0, 0xf7],
  ['and reading it', 0xf0, 0x76, 0x60, 8, 5, 0, 1, 0, 0xf7],
  ['a question cut short by a new one', 0xf0, 0x6d, 8, 0xf9, 0xf7],
  ['bytes out of place', 1, 2, 3, 0x44],
  ['counts of channel 1 while they are on', 0xc1, 1],
];

function around(): Bench {
  const bench = new Bench();
  bench.analog.set(1, 300.5);
  bench.levels.set(7, true);
  bench.chips.push(new StillChip(0x60, 4096, 25));
  return bench;
}

/** The same report over and over counts once: how many fit into the wait is a matter of speed. */
const once = (bytes: readonly number[]): string => {
  const text = Buffer.from(bytes).toString('hex');
  return text.replace(/(e12c02)+/g, 'e12c02');
};

describe('the speaker that replaces the board in long campaigns', () => {
  it('answers a whole script byte for byte as the stock firmware 2.5 does in the emulated board', async () => {
    const real = around();
    const board = new SteppedBoard({ firmware: '2.5', outside: real.outside });
    const fromBoard: number[] = [];
    board.emulation.line.open((bytes) => fromBoard.push(...bytes));
    await board.advanceUntil(() => fromBoard.includes(0xf7), 4);

    const fake = around();
    const fromSpeaker: number[] = [];
    const speaker = new FirmataSpeaker(fake.outside, (bytes) => fromSpeaker.push(...bytes));

    const answers: { what: string; board: string; speaker: string }[] = [];
    for (const [what, ...bytes] of script) {
      fromBoard.length = 0;
      fromSpeaker.length = 0;
      board.emulation.line.fromComputer(Uint8Array.from(bytes));
      speaker.receive(Uint8Array.from(bytes));
      await board.advance(0.15);
      for (let ms = 0; ms < 150; ms += 10) speaker.advance(10);
      answers.push({ what, board: once(fromBoard), speaker: once(fromSpeaker) });
    }
    expect(answers.map(({ what, speaker: said }) => [what, said])).toEqual(
      answers.map(({ what, board: said }) => [what, said]),
    );
    expect(answers.filter(({ board: said }) => said !== '').length).toBeGreaterThan(12);
    expect(fake.lastLevel(8)).toBe(real.lastLevel(8));
  });
});
