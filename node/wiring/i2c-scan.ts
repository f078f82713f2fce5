import type { I2cBus } from '../bus/i2c-bus.js';
import type { ChipFamily } from '../channels/chip.js';
import { channelKinds } from '../channels/table.js';
import type { Kit } from '../kit/schema.js';

/** Every address that a chip of the kinds a kit can have may be jumpered to. */
const familyAt: ReadonlyMap<number, ChipFamily> = new Map(
  Object.values(channelKinds).flatMap(({ chip }) =>
    chip ? chip.addresses.map((address) => [address, chip] as const) : [],
  ),
);
/** One address after the other, so that the chips of the kit keep most of the bus; a round takes 3 s. */
const everyMs = 250;

/** Scans the addresses that no probe of the kit uses, in turn: a chip there has its jumper wrong. */
export class I2cScan {
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
    const all = used.size === 0 ? [] : [...familyAt.keys()];
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
    const family = familyAt.get(address);
    if (!family) return undefined;
    const answer = await this.#bus.read(address, family.asked, 2);
    if (answer.kind === 'no-answer') return undefined;
    return family.nameOf(answer.bytes[0] ?? 0) ?? 'a chip';
  }
}
