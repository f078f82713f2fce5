import { readdir, readFile, realpath } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { SerialPort } from 'serialport';

/** A serial port that belongs to a USB device. Ids are four small hexadecimal digits. */
export type UsbPort = {
  readonly path: string;
  readonly vendorId: string;
  readonly productId: string;
  readonly serialNumber?: string;
};

/** USB vendor ids of the makers of Arduino-class boards and of the bridges on their clones (public USB id list). */
const boardVendors: ReadonlyMap<string, string> = new Map([
  ['2341', 'Arduino'],
  ['2a03', 'Arduino'],
  ['1a86', 'CH340 bridge'],
  ['0403', 'FTDI bridge'],
  ['10c4', 'CP210x bridge'],
  ['067b', 'PL2303 bridge'],
  ['2e8a', 'Raspberry Pi RP2040'],
  ['239a', 'Adafruit'],
  ['1b4f', 'SparkFun'],
  ['16c0', 'Teensy'],
]);

export const isLikelyBoard = (port: UsbPort): boolean => boardVendors.has(port.vendorId);
export const makerOf = (port: UsbPort): string => boardVendors.get(port.vendorId) ?? 'unknown maker';

/**
 * Serial ports of USB devices. On Linux read from sysfs, because the serial library's own list starts
 * `udevadm` and takes the whole process down where that program is missing.
 */
export async function listUsbPorts(ttyClassFolder = '/sys/class/tty'): Promise<UsbPort[]> {
  if (process.platform === 'linux') return listFromSysfs(ttyClassFolder);
  const found = await SerialPort.list();
  return found.flatMap(({ path, vendorId, productId, serialNumber }) =>
    vendorId === undefined || productId === undefined
      ? []
      : [
          {
            path,
            vendorId: vendorId.toLowerCase(),
            productId: productId.toLowerCase(),
            ...(serialNumber === undefined ? {} : { serialNumber }),
          },
        ],
  );
}

async function listFromSysfs(folder: string): Promise<UsbPort[]> {
  const names = await readdir(folder).catch(() => []);
  const usbNames = names.filter((name) => /^tty(ACM|USB)\d+$/.test(name)).sort();
  const ports = await Promise.all(usbNames.map((name) => readUsbDevice(folder, name)));
  return ports.filter((port) => port !== undefined);
}

/** The ids are in the USB device's folder, two or three levels above the folder of its serial interface. */
async function readUsbDevice(folder: string, name: string): Promise<UsbPort | undefined> {
  let at = await realpath(join(folder, name, 'device')).catch(() => undefined);
  for (let level = 0; at !== undefined && level < 4; level++, at = dirname(at)) {
    const vendorId = await readId(join(at, 'idVendor'));
    const productId = await readId(join(at, 'idProduct'));
    if (vendorId === undefined || productId === undefined) continue;
    const serialNumber = await readId(join(at, 'serial'));
    return {
      path: `/dev/${name}`,
      vendorId,
      productId,
      ...(serialNumber === undefined ? {} : { serialNumber }),
    };
  }
  return undefined;
}

const readId = (file: string): Promise<string | undefined> =>
  readFile(file, 'utf8').then(
    (text) => text.trim(),
    () => undefined,
  );
