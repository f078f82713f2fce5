import { BoardError } from './board-error.js';
import type { BytePort, PortOpener } from './byte-port.js';
import { firmataBaud, openSerialPort } from './serial-port.js';
import { tcpOpener } from './tcp-port.js';
import { isLikelyBoard, listUsbPorts, makerOf, type UsbPort } from './usb-ports.js';

/** Where the openers look; tests pass their own. */
export type Surroundings = {
  readonly listUsbPorts: () => Promise<readonly UsbPort[]>;
  readonly openSerial: (path: string) => Promise<BytePort>;
};

const realSurroundings: Surroundings = {
  listUsbPorts: () => listUsbPorts(),
  openSerial: (path) => openSerialPort(path, firmataBaud),
};

/**
 * Makes an opener from the `connection` of kit.yaml: `auto`, a serial path, or tcp://host:port.
 * Throws BoardError `bad-connection` for anything else.
 */
export function openerFor(connection: string, surroundings: Surroundings = realSurroundings): PortOpener {
  if (connection === 'auto') return autoOpener(surroundings);
  if (connection.startsWith('tcp://')) {
    const { host, port } = parseTcpAddress(connection);
    return tcpOpener(host, port);
  }
  if (/^(\/|COM\d+$)/i.test(connection)) return pathOpener(connection, surroundings);
  throw new BoardError(
    'bad-connection',
    `The board connection "${connection}" is not understood. Give auto, a serial path such as /dev/ttyACM0 or COM3, or tcp://host:port.`,
  );
}

function parseTcpAddress(connection: string): { host: string; port: number } {
  const match = /^tcp:\/\/(?:\[([^\]]+)\]|([^:/]+)):(\d{1,5})\/?$/.exec(connection);
  const host = match?.[1] ?? match?.[2];
  const port = Number(match?.[3]);
  if (host === undefined || port < 1 || port > 65535)
    throw new BoardError(
      'bad-connection',
      `The board connection "${connection}" is not a host and a port from 1 to 65535. Example: tcp://127.0.0.1:8473`,
    );
  return { host, port };
}

/** Tries the USB ports that could be a board in turn, the one that last carried the firmware first. */
function autoOpener({ listUsbPorts: list, openSerial }: Surroundings): PortOpener {
  let known: string | undefined;
  let turn = 0;
  return {
    label: 'auto',
    async open() {
      const paths = (await list()).filter(isLikelyBoard).map((port) => port.path);
      if (paths.length === 0)
        throw new Error(
          'No Arduino-class board is plugged in. Check the USB cable (it must carry data), or give the serial path.',
        );
      const path = paths.find((one) => one === known) ?? paths[turn++ % paths.length];
      known = undefined;
      return openSerial(path as string);
    },
    carriesFirmware(label) {
      known = label;
    },
  };
}

/** Opens one path, and follows its device when the system gives it another name after a replug. */
function pathOpener(path: string, { listUsbPorts: list, openSerial }: Surroundings): PortOpener {
  let device: UsbPort | undefined;
  return {
    label: path,
    async open() {
      const ports = await list().catch(() => []);
      const atPath = ports.find((port) => port.path === path);
      device ??= atPath;
      if (atPath === undefined && device !== undefined) {
        const moved = ports.filter((port) => isSameDevice(port, device as UsbPort));
        if (moved.length > 1)
          throw new Error(
            `${path} is gone and ${moved.length} boards (${makerOf(device)}) look like it: ${moved.map((port) => port.path).join(', ')}. Give the path under /dev/serial/by-id.`,
          );
        if (moved[0] !== undefined) return openSerial(moved[0].path);
      }
      return openSerial(path);
    },
  };
}

const isSameDevice = (a: UsbPort, b: UsbPort): boolean =>
  a.vendorId === b.vendorId && a.productId === b.productId && a.serialNumber === b.serialNumber;
