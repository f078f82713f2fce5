import { Emulation, type Outside } from '../../node/bench/board/emulation.js';
import { type FirmwareVersion, stockFirmware } from '../../node/bench/board/firmware-image.js';
import { keepPace } from '../../node/bench/board/pace.js';
import { PtyPort } from '../../node/bench/board/pty-port.js';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import type { TwoWireChip } from '../../node/bench/board/two-wire-bus.js';
import { McpRegisters } from '../../node/bench/chips/mcp960x-registers.js';

/** A thermocouple chip whose registers the test sets; it converts nothing by itself. */
export class StillChip implements TwoWireChip {
  readonly address: number;
  readonly registers = new McpRegisters();

  constructor(address: number, microvolts: number, coldJunctionC: number) {
    this.address = address;
    this.registers.setRawCode(microvolts / 2);
    this.registers.setTemperature(0x02, coldJunctionC);
  }

  begin(write: boolean): boolean {
    return this.registers.begin(write);
  }
  write(byte: number): boolean {
    return this.registers.write(byte);
  }
  read(): number {
    return this.registers.read();
  }
  end(): void {}
}

/** What stands around the board: the test changes it and looks at it. */
export class Bench {
  readonly analog = new Map<number, number>();
  readonly levels = new Map<number, boolean>();
  readonly chips: TwoWireChip[] = [];
  readonly outputs: { readonly pin: number; readonly high: boolean }[] = [];

  get outside(): Outside {
    return {
      ...nothingConnected,
      chips: () => this.chips,
      analogCounts: (channel) => this.analog.get(channel),
      inputLevel: (pin) => this.levels.get(pin),
      onOutput: (pin, high) => {
        this.outputs.push({ pin, high });
      },
    };
  }

  lastLevel(pin: number): boolean | undefined {
    return this.outputs.findLast((output) => output.pin === pin)?.high;
  }
}

/** The emulated board behind a pseudo-terminal, at wall pace. */
export async function boardOnPty(
  link: string,
  bench: Bench,
  firmware: FirmwareVersion = '2.5',
): Promise<{ readonly emulation: Emulation; readonly port: PtyPort; close(): Promise<void> }> {
  const emulation = new Emulation(stockFirmware(firmware), bench.outside);
  const port = new PtyPort(emulation.line, link);
  await port.plug();
  const pacing = keepPace(emulation, 1);
  return {
    emulation,
    port,
    async close() {
      pacing.stop();
      await port.unplug();
    },
  };
}
