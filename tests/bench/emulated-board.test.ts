import { connect, type Socket } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { nothingConnected, type ServedBoard, serveBoard } from '../../node/bench/board/start-board.js';
import { firmwareVersions } from '../../node/board/flash/firmware-image.js';
import { SteppedBoard } from './stepped-board.js';

/** Firmata protocol 2.x, as published at github.com/firmata/protocol; restated here on purpose. */
const reportVersion = 0xf9;
const startSysex = 0xf0;
const reportFirmware = 0x79;
const reportAnalogPin0 = 0xc0;
const analogMessagePin0 = 0xe0;
const setPinMode = 0xf4;

function collected(board: SteppedBoard): number[] {
  const bytes: number[] = [];
  board.emulation.line.open((more) => bytes.push(...more));
  return bytes;
}

describe.each(firmwareVersions)('stock firmware %s in the emulated board', (version) => {
  it('introduces itself with its version and name after power-on', async () => {
    const board = new SteppedBoard({ firmware: version });
    const bytes = collected(board);
    await board.advanceUntil(() => bytes.includes(0xf7), 4);
    const [major, minor] = version.split('.').map(Number);
    expect(bytes.slice(0, 7)).toEqual([
      reportVersion,
      major,
      minor,
      startSysex,
      reportFirmware,
      major,
      minor,
    ]);
    const name = bytes.slice(7, -1).filter((_, index) => index % 2 === 0);
    expect(String.fromCharCode(...name)).toBe('StandardFirmata.ino');
  });

  it('reports the counts on an analogue pin and drives an output pin', async () => {
    const outputs: string[] = [];
    const board = new SteppedBoard({
      firmware: version,
      outside: {
        ...nothingConnected,
        analogCounts: (channel) => (channel === 0 ? 700.5 : undefined),
        onOutput: (pin, high) => outputs.push(`${pin} ${high ? 'high' : 'low'}`),
      },
    });
    const bytes = collected(board);
    await board.advanceUntil(() => bytes.includes(0xf7), 4);
    bytes.length = 0;
    outputs.length = 0;
    board.emulation.line.fromComputer(Uint8Array.of(reportAnalogPin0, 1));
    board.emulation.line.fromComputer(Uint8Array.of(setPinMode, 8, 1, 0x91, 1, 0));
    await board.advanceUntil(() => bytes.length >= 3, 1);
    expect(bytes.slice(0, 3)).toEqual([analogMessagePin0, 700 % 128, 700 >> 7]);
    await board.advanceUntil(() => outputs.length > 0, 1);
    expect(outputs).toEqual(['8 high']);
  });
});

describe('the emulated board on a TCP port', () => {
  let served: ServedBoard | undefined;
  const sockets: Socket[] = [];
  afterEach(async () => {
    for (const socket of sockets.splice(0)) socket.destroy();
    await served?.close();
  });

  const open = (port: number) =>
    new Promise<{ socket: Socket; bytes: number[] }>((resolve, reject) => {
      const bytes: number[] = [];
      const socket = connect(port, '127.0.0.1', () => resolve({ socket, bytes }));
      sockets.push(socket);
      socket.on('data', (data) => bytes.push(...data));
      socket.on('error', reject);
    });
  const until = async (done: () => boolean) => {
    for (let tries = 0; !done(); tries++) {
      if (tries > 3000) throw new Error('gave up after 30 s');
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  };

  it('comes up on a computer so slow that the port is opened again before it has started', async () => {
    served = await serveBoard({ speed: 0 });
    const { emulation, port } = served;
    for (let opened = 1; opened <= 3; opened++) {
      const { socket, bytes } = await open(port.port);
      await until(() => port.clientConnected);
      emulation.advanceCycles(0.8 * 16e6);
      if (opened === 3) await until(() => bytes.includes(0xf7));
      else expect(bytes).toEqual([]);
      socket.destroy();
      await until(() => !port.clientConnected);
    }
    // Once it has spoken, opening resets it, as the adapter of a real one does: it starts from the beginning.
    const { bytes } = await open(port.port);
    await until(() => port.clientConnected);
    emulation.advanceCycles(1.6 * 16e6);
    expect(emulation.board.isStarting).toBe(true);
    emulation.advanceCycles(0.8 * 16e6);
    await until(() => bytes.includes(0xf7));
  });

  it('serves Firmata to one client, refuses when unplugged, and greets again when replugged', async () => {
    served = await serveBoard({ speed: Number.POSITIVE_INFINITY });
    const first = await open(served.port.port);
    await until(() => first.bytes.includes(0xf7));
    expect(first.bytes[0]).toBe(reportVersion);

    const second = await open(served.port.port);
    await until(() => second.socket.closed);
    expect(second.bytes).toEqual([]);

    await served.port.unplug();
    await until(() => first.socket.closed);
    await expect(open(served.port.port)).rejects.toThrow('ECONNREFUSED');

    await served.port.plug();
    const again = await open(served.port.port);
    await until(() => again.bytes.includes(0xf7));
    expect(again.bytes.slice(0, 3)).toEqual([reportVersion, 2, 5]);
  });
});
