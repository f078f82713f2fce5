import type { I2cBus } from '../bus/i2c-bus.js';
import { decodeMcpChip, mcpRegister } from '../chips/mcp960x-registers.js';
import type { Kit } from '../kit/schema.js';

/** Where chips of the kinds a kit can have may be jumpered to: MCP960x (DS20005426, table 6-1) and ADS1115 (SBAS444D, 9.5.1.1). */
const amplifierAddresses = [0x60, 0x61, 0x62, 0x63, 0x64, 0x65, 0x66, 0x67];
const converterAddresses = [0x48, 0x49, 0x4a, 0x4b];
/** One address after the other, so that the chips of the kit keep most of the bus; a round takes 3 s. */
const everyMs = 250;
const converterConfig = 0x01;

/** Knocks in turn at the addresses that no probe of the kit uses: a chip there has its jumper wrong. */
export class Strangers {
  /** What answers where, now. */
  readonly found = new Map<number, string>();
  readonly #bus: I2cBus;
  readonly #addresses: readonly number[];
  #next = 0;
  #timer: NodeJS.Timeout | undefined;
  #stopped = false;

  constructor(kit: Kit, bus: I2cBus) {
    const used = new Set(
      kit.probes.flatMap(({ channel }) => ('address' in channel ? [channel.address] : [])),
    );
    // A kit without chips has nothing on the bus, and maybe no bus.
    const all = used.size === 0 ? [] : [...amplifierAddresses, ...converterAddresses];
    this.#bus = bus;
    this.#addresses = all.filter((address) => !used.has(address));
    this.#wait();
  }

  stop(): void {
    this.#stopped = true;
    clearTimeout(this.#timer);
  }

  #wait(): void {
    if (!this.#stopped && this.#addresses.length > 0)
      this.#timer = setTimeout(() => void this.#knock(), everyMs);
  }

  async #knock(): Promise<void> {
    const address = this.#addresses[this.#next++ % this.#addresses.length] as number;
    const name = await this.#nameOf(address);
    if (name === undefined) this.found.delete(address);
    else this.found.set(address, name);
    this.#wait();
  }

  async #nameOf(address: number): Promise<string | undefined> {
    const amplifier = amplifierAddresses.includes(address);
    const register = amplifier ? mcpRegister.deviceId.pointer : converterConfig;
    const answer = await this.#bus.read(address, register, 2);
    if (answer.kind === 'no-answer') return undefined;
    if (!amplifier) return 'a chip';
    return decodeMcpChip(answer.bytes[0] ?? 0) ?? 'a chip';
  }
}
