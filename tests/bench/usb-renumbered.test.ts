import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { SerialLine } from '../../node/bench/board/serial-line.js';
import { openerFor } from '../../node/board/connection.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { firmataBaud, openSerialPort } from '../../node/board/serial-port.js';
import { listUsbPorts } from '../../node/board/usb-ports.js';
import { runNode } from '../../node/run/run-node.js';
import { Bench } from './board-rig.js';
import { until } from './house/running-command.js';
import { LinkListener } from './link-listener.js';
import { PtyPort } from './pty-port.js';
import { SpeakingLine } from './speaking-line.js';

const kitYaml = (connection: string) => `
kit: 1
boat: { name: Test hull, invented: true }
board: { connection: ${connection} }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
probes:
  - id: port-elbow
    name: Port elbow
    engine: port
    place: wet-elbow
    channel: { kind: ntc-divider, pin: A0, resistorOhms: 2200, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }
`;

/**
 * A computer's USB as the node meets it, made of files and pseudo-terminals: the folder that the kernel would show is
 * read by the real listing, and the terminal in place of /dev/NAME is opened by the real serial binding.
 */
class Usb {
  readonly folder = mkdtempSync(join(tmpdir(), 'elbowroom-usb-'));
  readonly opened: string[] = [];
  readonly #line: SerialLine;
  #terminal: PtyPort | undefined;
  #name = '';

  constructor(line: SerialLine) {
    this.#line = line;
    mkdirSync(join(this.folder, 'class'));
    mkdirSync(join(this.folder, 'device', 'interface'), { recursive: true });
    const ids = { idVendor: '2341', idProduct: '0043', serial: '7523' };
    for (const [file, text] of Object.entries(ids))
      writeFileSync(join(this.folder, 'device', file), `${text}\n`);
  }

  readonly surroundings = {
    listUsbPorts: () => listUsbPorts(join(this.folder, 'class')),
    openSerial: (path: string) => {
      this.opened.push(path);
      return openSerialPort(join(this.folder, basename(path)), firmataBaud);
    },
  };

  async plugAs(name: string): Promise<void> {
    this.#name = name;
    this.#terminal = new PtyPort(this.#line, join(this.folder, name));
    await this.#terminal.plug();
    mkdirSync(join(this.folder, 'class', name));
    symlinkSync(join(this.folder, 'device', 'interface'), join(this.folder, 'class', name, 'device'));
  }

  async unplug(): Promise<void> {
    rmSync(join(this.folder, 'class', this.#name), { recursive: true });
    await this.#terminal?.unplug();
    rmSync(join(this.folder, this.#name), { force: true });
  }
}

describe('the board comes back as ttyACM1 after it was ttyACM0', () => {
  it.each(['auto', '/dev/ttyACM0'])(
    'with "%s" in the kit: full readings again, without a restart',
    async (connection) => {
      const bench = new Bench();
      bench.analog.set(0, 800.5);
      const board = new SpeakingLine(bench);
      const usb = new Usb(board.line);
      await usb.plugAs('ttyACM0');
      const kitPath = join(usb.folder, 'kit.yaml');
      writeFileSync(kitPath, kitYaml(connection));
      const secretPath = join(usb.folder, 'link-secret');
      const node = await runNode({
        kitPath,
        linkListen: '127.0.0.1:0',
        linkSecret: secretPath,
        logLevel: 'error',
        openBoard: (asked, clock) => new LiveBoard(openerFor(asked, usb.surroundings), clock),
      });
      const host = new LinkListener(node.linkPort() ?? 0, secretPath);
      const quality = () => {
        // An alert brings the full rate of the minute before, which was good: not that.
        const seconds = host.messages.flatMap(({ message }) =>
          message.kind === 'readings' && message.rate === 'second' ? [message] : [],
        );
        return seconds.at(-1)?.rows[0]?.quality;
      };
      const boot = () => host.messages.at(-1)?.boot;
      try {
        await until('readings', () => quality() === 'good');
        expect(usb.opened.at(-1)).toBe('/dev/ttyACM0');
        const firstBoot = boot();

        await usb.unplug();
        await until('the alert', () => host.alerts.some(({ rule }) => rule === 'board-lost'));
        expect(quality()).toBe('board-away');

        await usb.plugAs('ttyACM1');
        await until('readings again', () => quality() === 'good');
        expect(usb.opened.at(-1)).toBe('/dev/ttyACM1');
        expect(host.last('status')?.boardDetail).toContain('ttyACM1');
        await until('the alert rectified', () => host.alerts.every(({ state }) => state === 'rectified'));
        expect(boot()).toBe(firstBoot);
      } finally {
        host.close();
        await node.stop();
        board.stop();
        await usb.unplug().catch(() => {});
        rmSync(usb.folder, { recursive: true, force: true });
      }
    },
  );
});
