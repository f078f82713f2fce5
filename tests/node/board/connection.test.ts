import { mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BoardError } from '../../../node/board/board-error.js';
import type { BytePort } from '../../../node/board/byte-port.js';
import { openerFor } from '../../../node/board/connection.js';
import { listUsbPorts, type UsbPort } from '../../../node/board/usb-ports.js';

const uno: UsbPort = { path: '/dev/ttyACM0', vendorId: '2341', productId: '0043', serialNumber: 'A1' };
const clone: UsbPort = { path: '/dev/ttyUSB0', vendorId: '1a86', productId: '7523' };
const gps: UsbPort = { path: '/dev/ttyACM7', vendorId: '1546', productId: '01a7' };

/** A computer whose USB ports the test changes; opening one notes its path. */
function computer(...ports: UsbPort[]) {
  const opened: string[] = [];
  const there = [...ports];
  const surroundings = {
    listUsbPorts: async () => there,
    openSerial: async (path: string): Promise<BytePort> => {
      if (!there.some((port) => port.path === path)) throw new Error(`There is no ${path}.`);
      opened.push(path);
      return { label: path, write() {}, onBytes() {}, onClosed() {}, close: async () => {} };
    },
  };
  return { opened, there, surroundings };
}

describe('auto', () => {
  it('opens the Arduino-class board and leaves the GPS receiver alone', async () => {
    const { opened, surroundings } = computer(gps, uno);
    await openerFor('auto', surroundings).open();
    expect(opened).toEqual(['/dev/ttyACM0']);
  });

  it('follows the board to another name', async () => {
    const { opened, there, surroundings } = computer(uno);
    const opener = openerFor('auto', surroundings);
    opener.carriesFirmware?.((await opener.open()).label);
    there.splice(0, 1, { ...uno, path: '/dev/ttyACM1' });
    await opener.open();
    expect(opened).toEqual(['/dev/ttyACM0', '/dev/ttyACM1']);
  });

  it('with two candidates tries them in turn until one carries the firmware, and then stays with it', async () => {
    const { opened, surroundings } = computer(clone, uno);
    const opener = openerFor('auto', surroundings);
    await opener.open();
    opener.carriesFirmware?.((await opener.open()).label);
    await opener.open();
    expect(opened).toEqual(['/dev/ttyUSB0', '/dev/ttyACM0', '/dev/ttyACM0']);
  });

  it('says what to check when there is none', async () => {
    await expect(openerFor('auto', computer(gps).surroundings).open()).rejects.toThrow(/USB cable/);
  });
});

describe('a serial path', () => {
  it('follows its device from ttyACM0 to ttyACM1', async () => {
    const { opened, there, surroundings } = computer(uno);
    const opener = openerFor('/dev/ttyACM0', surroundings);
    await opener.open();
    there.splice(0, 1, { ...uno, path: '/dev/ttyACM1' });
    await opener.open();
    expect(opened).toEqual(['/dev/ttyACM0', '/dev/ttyACM1']);
  });

  it('does not follow to a board with another serial number, and refuses to guess between two alike', async () => {
    const { there, surroundings } = computer(uno);
    const opener = openerFor('/dev/ttyACM0', surroundings);
    await opener.open();
    there.splice(0, 1, { ...uno, path: '/dev/ttyACM1', serialNumber: 'B2' });
    await expect(opener.open()).rejects.toThrow('There is no /dev/ttyACM0');

    const alike = computer(clone);
    const second = openerFor('/dev/ttyUSB0', alike.surroundings);
    await second.open();
    alike.there.splice(0, 1, { ...clone, path: '/dev/ttyUSB1' }, { ...clone, path: '/dev/ttyUSB2' });
    await expect(second.open()).rejects.toThrow(/2 boards.*by-id/);
  });
});

describe('the connection in the kit file', () => {
  it.each(['ttyACM0', 'tcp://host', 'tcp://host:0', 'tcp://host:70000', 'bench', ''])(
    '"%s" is refused with an example',
    (connection) => {
      expect(() => openerFor(connection)).toThrow(BoardError);
      expect(() => openerFor(connection)).toThrow(/tcp:\/\//);
    },
  );

  it.each(['auto', '/dev/ttyACM0', 'COM3', 'tcp://127.0.0.1:8473', 'tcp://[::1]:8473'])(
    '"%s" is understood',
    (connection) =>
      expect(openerFor(connection).label).toContain(connection.replace(/[[\]]/g, '').slice(0, 6)),
  );
});

describe('the USB ports of a Linux computer', () => {
  it('are read from sysfs, serial interfaces of other kinds left out', async ({ skip }) => {
    skip(process.platform !== 'linux', 'needs Linux');
    const root = mkdtempSync(join(tmpdir(), 'sys-'));
    const device = join(root, 'devices', '1-2');
    mkdirSync(join(device, '1-2:1.0'), { recursive: true });
    writeFileSync(join(device, 'idVendor'), '2341\n');
    writeFileSync(join(device, 'idProduct'), '0043\n');
    writeFileSync(join(device, 'serial'), 'A1\n');
    const tty = join(root, 'tty');
    for (const name of ['ttyACM0', 'ttyS0', 'ttyUSB3']) mkdirSync(join(tty, name), { recursive: true });
    symlinkSync(join(device, '1-2:1.0'), join(tty, 'ttyACM0', 'device'));
    expect(await listUsbPorts(tty)).toEqual([uno]);
    expect(await listUsbPorts(join(root, 'nowhere'))).toEqual([]);
  });
});
