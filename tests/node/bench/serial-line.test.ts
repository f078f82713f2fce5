import { describe, expect, it } from 'vitest';
import { SerialLine } from '../../../node/bench/board/serial-line.js';

const bitsApart = (a: number, b: number) => [...(a ^ b).toString(2)].filter((bit) => bit === '1').length;

function line() {
  const toBoard: number[] = [];
  const toComputer: number[] = [];
  const serial = new SerialLine((bytes) => toBoard.push(...bytes));
  serial.open((bytes) => toComputer.push(...bytes));
  return { serial, toBoard, toComputer };
}
const message = Uint8Array.from({ length: 256 }, (_, index) => index);

describe('the serial line', () => {
  it('carries bytes unchanged, from the board once it is flushed', () => {
    const { serial, toBoard, toComputer } = line();
    serial.fromComputer(message);
    for (const byte of message) serial.fromBoard(byte);
    expect(toComputer).toEqual([]);
    serial.flush();
    expect([toBoard, toComputer]).toEqual([[...message], [...message]]);
  });

  it('loses what the board sends while the port is not open', () => {
    const { serial, toComputer } = line();
    serial.fromBoard(1);
    serial.close();
    serial.fromBoard(2);
    serial.open((bytes) => toComputer.push(...bytes));
    serial.fromBoard(3);
    serial.flush();
    expect(toComputer).toEqual([3]);
  });

  it('holds 8,192 bytes between two flushes and drops the rest', () => {
    const { serial, toComputer } = line();
    for (let index = 0; index < 10_000; index++) serial.fromBoard(index & 0xff);
    serial.flush();
    expect(toComputer).toHaveLength(8192);
  });

  it('with errors in every byte flips exactly one bit of each, both ways; at one in ten about a tenth', () => {
    const { serial, toBoard, toComputer } = line();
    serial.bitErrorsPerByte = 1;
    serial.fromComputer(message);
    for (const byte of message) serial.fromBoard(byte);
    serial.flush();
    for (const received of [toBoard, toComputer])
      expect(received.every((byte, index) => bitsApart(byte, message[index] ?? 0) === 1)).toBe(true);
    serial.bitErrorsPerByte = 0.1;
    toBoard.length = 0;
    for (let turn = 0; turn < 40; turn++) serial.fromComputer(message);
    const damaged = toBoard.filter((byte, index) => byte !== (message[index % 256] ?? 0)).length;
    expect(damaged / toBoard.length).toBeGreaterThan(0.08);
    expect(damaged / toBoard.length).toBeLessThan(0.12);
  });
});
