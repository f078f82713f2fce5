import type { Kit } from '../kit/schema.js';
import type { TwoWireChip } from './board/two-wire-bus.js';
import { chanceFor, deviation } from './chance.js';
import type { BenchInputs, ShareOfSupply, Tap } from './channels/kind.js';
import { simulatorOf } from './channels/table.js';
import { Ads1115Chip } from './chips/ads1115.js';
import type { Mcp960xChip } from './chips/mcp960x.js';
import { Converter } from './circuits/converter.js';
import type { WiredProbe } from './probes/wired-probe.js';
import { refusePinsAnUnoLacks } from './uno-pins.js';

/** A supply from a computer's port; USB 2.0 allows 4.75 to 5.25 V at the source (from memory). */
const supplyWithin = 0.03;
/** The two resistors of a reference pin, 1 % each around the middle, move it by half a percent of the supply. */
const referenceWithin = 0.005;

/** Every probe of a kit with its circuit or chip, on the pins and the bus of one board. */
export class Wiring {
  readonly probes: ReadonlyMap<string, WiredProbe>;
  readonly #seed: number;
  readonly #exact: boolean;
  readonly #converter: Converter;
  readonly #onPins = new Map<number, ShareOfSupply>();
  readonly #amplifiers: Mcp960xChip[] = [];
  readonly #adsChips = new Map<number, { chip: Ads1115Chip; taps: Map<number, Tap>; probes: WiredProbe[] }>();

  constructor(kit: Kit, seed: number, exact: boolean) {
    refusePinsAnUnoLacks(kit);
    this.#seed = seed;
    this.#exact = exact;
    this.#converter = new Converter(chanceFor(seed, 'converter'), exact);
    const inputs: BenchInputs = {
      seed,
      exact,
      supplyFactor: 1 + this.#deviation('supply', supplyWithin),
      onPin: (pin, circuit) => this.#onPins.set(pinNumber(pin), circuit),
      tap: (address, probe, input, tap) => this.#tap(address, probe, input, tap),
      onBus: (chip) => this.#amplifiers.push(chip),
    };
    this.probes = new Map(
      kit.probes.map((probe) => [probe.id, simulatorOf(probe.channel).wire(probe, probe.channel, inputs)]),
    );
    if (kit.referencePin) {
      const share = kit.referencePin.shareOfSupply + this.#deviation('canary', referenceWithin);
      this.#onPins.set(pinNumber(kit.referencePin.pin), { share: () => share, still: false });
    }
  }

  /** Connects a circuit that is no probe to an analogue pin, such as A2. */
  connect(pin: string, share: () => number): void {
    this.#onPins.set(pinNumber(pin), { share, still: false });
  }

  /** Counts of the board's own converter, before clipping and truncation; undefined where nothing is connected. */
  analogCounts(pin: number): number | undefined {
    const circuit = this.#onPins.get(pin);
    if (!circuit) return undefined;
    return circuit.still ? circuit.share() * 1024 : this.#converter.counts(circuit.share());
  }

  /** The chips that answer at this moment. */
  chips(): readonly TwoWireChip[] {
    for (const { chip, probes } of this.#adsChips.values())
      chip.absent = probes.some(({ fault }) => fault === 'absent');
    return [
      ...this.#amplifiers.flatMap((chip) => chip.onTheBus),
      ...[...this.#adsChips.values()].map(({ chip }) => chip),
    ];
  }

  /** Connects a point to an input such as AIN2 of the converter chip at an address; an input left alone is at ground. */
  #tap(address: number, probe: WiredProbe, input: string, tap: Tap): void {
    const there = this.#adsChips.get(address) ?? this.#newAdsChip(address);
    there.taps.set(Number(input.slice(-1)), tap);
    if (!there.probes.includes(probe)) there.probes.push(probe);
  }

  #newAdsChip(address: number) {
    const taps = new Map<number, Tap>();
    const volts = (input: number) => taps.get(input)?.volts() ?? 0;
    const chip = new Ads1115Chip({
      address,
      inputs: () => [volts(0), volts(1), volts(2), volts(3)],
      isStill: (positive) => taps.get(positive)?.still() ?? false,
      chance: chanceFor(this.#seed, `ads1115-${address}`),
      exact: this.#exact,
    });
    const made = { chip, taps, probes: [] };
    this.#adsChips.set(address, made);
    return made;
  }

  #deviation(name: string, tolerance: number): number {
    return this.#exact ? 0 : deviation(chanceFor(this.#seed, name), tolerance);
  }
}

const pinNumber = (name: string): number => Number(name.slice(1));
