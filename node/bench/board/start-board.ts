import { type FirmwareVersion, stockFirmware } from '../../board/flash/firmware-image.js';
import { TcpPort } from './bench-tcp-port.js';
import type { BoardPort } from './board-port.js';
import { Emulation, type Outside } from './emulation.js';
import { keepPace, type Pacing } from './pace.js';

export const nothingConnected: Outside = {
  chips: () => [],
  analogCounts: () => undefined,
  inputLevel: () => undefined,
  onOutput: () => {},
  advance: () => {},
};

export type ServedBoard = {
  readonly emulation: Emulation;
  readonly port: TcpPort;
  readonly pacing: Pacing;
  close(): Promise<void>;
};

/**
 * Starts a board that serves its serial bytes on a TCP port of loopback (0 picks a free one:
 * read it back from `port.port`). Opening the port resets the board unless `resetOnOpen` is false. One that is still
 * starting is left to it: on a computer too slow to start it within the node's patience it would never come up.
 */
export async function serveBoard(options: {
  readonly firmware?: FirmwareVersion;
  readonly outside?: Outside;
  readonly tcpPort?: number;
  /** 1 is real time (the default), Infinity as fast as it goes. */
  readonly speed?: number;
  readonly resetOnOpen?: boolean;
}): Promise<ServedBoard> {
  const emulation = new Emulation(
    stockFirmware(options.firmware ?? '2.5'),
    options.outside ?? nothingConnected,
  );
  const port = new TcpPort(emulation.line, options.tcpPort ?? 0, () => {
    if ((options.resetOnOpen ?? true) && !emulation.board.isStarting) emulation.board.reset();
  });
  return runBehind(port, emulation, options.speed);
}

/** Plugs the port in and keeps the board's time; `speed` 1 is real time (the default). */
export async function runBehind<Port extends BoardPort>(port: Port, emulation: Emulation, speed = 1) {
  await port.plug();
  const pacing = keepPace(emulation, speed);
  return {
    emulation,
    port,
    pacing,
    async close() {
      pacing.stop();
      await port.unplug();
    },
  };
}
