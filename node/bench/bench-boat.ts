import type { Kit, Probe } from '../kit/schema.js';
import { NodeError } from '../node-error.js';
import type { Outside } from './board/emulation.js';
import type { TwoWireChip } from './board/two-wire-bus.js';
import { chanceFor } from './chance.js';
import { Mcp960xChip } from './chips/mcp960x.js';
import { Ad8495Output } from './circuits/ad8495-output.js';
import { Converter } from './circuits/converter.js';
import { MissingPulse } from './circuits/missing-pulse.js';
import { NtcDivider } from './circuits/ntc-divider.js';
import { RunningInput } from './circuits/running-input.js';
import { Element } from './probes/element.js';
import type { WiredProbe } from './probes/wired-probe.js';
import type { World } from './world.js';

/** Emulated time between two steps of the world; probes follow in between only as fast as this. */
const worldStepS = 0.05;
/** The dead-man circuit's time; longer than the slowest healthy pass and short against what an elbow takes to overheat. */
const missingPulseS = 2.5;
const engineRoomAir = { engine: 'both', place: 'engine-room', mounting: 'free' } as const;

type AnalogueProbe = NtcDivider | Ad8495Output;

export type BenchBoatOptions = {
  /** Decides the hidden deviation of every part and all noise. */
  readonly seed?: number;
  /** Every part exactly as its nominal value; the noise stays. */
  readonly exact?: boolean;
};

/**
 * A kit wired to an Uno with a world behind its probes. Built from the same checked kit that the node reads,
 * so that one file describes the boat. Throws `NodeError` where the kit asks for a pin an Uno does not have.
 */
export class BenchBoat implements Outside {
  readonly world: World;
  readonly probes: ReadonlyMap<string, WiredProbe>;
  readonly elements: ReadonlyMap<string, Element>;
  readonly runningInputs: { readonly port?: RunningInput; readonly starboard?: RunningInput };
  readonly missingPulse = new MissingPulse(missingPulseS);
  /** Air pressure around the kettle, for the boiling bath. */
  pressureHectopascals = 1013.25;
  readonly #kit: Kit;
  readonly #converter: Converter;
  readonly #analogue = new Map<number, AnalogueProbe>();
  readonly #buses: Mcp960xChip[] = [];
  readonly #high = new Set<number>();
  #worldDebtS = 0;
  #nowS = 0;

  constructor(kit: Kit, world: World, { seed = 1, exact = false }: BenchBoatOptions = {}) {
    refusePinsAnUnoLacks(kit);
    this.#kit = kit;
    this.world = world;
    this.#converter = new Converter(chanceFor(seed, 'converter'), exact);
    this.probes = new Map(kit.probes.map((probe) => [probe.id, this.#wire(probe, seed, exact)]));
    this.elements = new Map(kit.probes.map((probe) => [probe.id, new Element()]));
    const { port, starboard } = kit.engines;
    this.runningInputs = {
      ...(port.runningInput && { port: new RunningInput(port.runningInput) }),
      ...(starboard.runningInput && { starboard: new RunningInput(starboard.runningInput) }),
    };
  }

  #wire(probe: Probe, seed: number, exact: boolean): WiredProbe {
    const { channel } = probe;
    switch (channel.kind) {
      case 'ntc-divider':
        return this.#onPin(new NtcDivider(probe, channel, seed, exact));
      case 'ad8495':
        return this.#onPin(new Ad8495Output(probe, channel, seed, exact));
      case 'mcp960x': {
        const chip = new Mcp960xChip(probe, channel, seed, exact);
        this.#buses.push(chip);
        return chip;
      }
      case 'ntc-divider-ads1115':
      case 'ad8495-ads1115':
      case 'thermocouple-ads1115':
        throw new NodeError(
          'settings-wrong',
          `The bench has no ADS1115 yet, and probe ${probe.id} asks for one.`,
        );
    }
  }

  #onPin(probe: AnalogueProbe): AnalogueProbe {
    this.#analogue.set(probe.pin, probe);
    return probe;
  }

  advance(dtS: number, atS: number): void {
    this.#nowS = atS;
    this.#worldDebtS += dtS;
    if (this.#worldDebtS >= worldStepS - 1e-9) {
      this.world.step(this.#worldDebtS);
      this.#worldDebtS = 0;
    }
    this.runningInputs.port?.advance(this.world.isRunning('port'));
    this.runningInputs.starboard?.advance(this.world.isRunning('starboard'));
    const boardC = this.world.elementTemperatureC(engineRoomAir);
    for (const [id, wired] of this.probes) {
      const element = this.elements.get(id) as Element;
      element.advance(dtS, this.world.elementTemperatureC(wired.probe));
      wired.advance(dtS, { atS, elementC: element.temperatureC, boardC });
    }
  }

  analogCounts(channel: number): number | undefined {
    const probe = this.#analogue.get(channel);
    if (!probe) return undefined;
    return probe.still ? probe.share() * 1024 : this.#converter.counts(probe.share());
  }

  inputLevel(pin: number): boolean | undefined {
    for (const input of [this.runningInputs.port, this.runningInputs.starboard])
      if (input?.pin === pin) return input.level;
    return undefined;
  }

  /** The chips that answer at this moment. */
  chips(): readonly TwoWireChip[] {
    return this.#buses.flatMap((chip) => chip.onTheBus);
  }

  onOutput(pin: number, high: boolean, atS: number): void {
    if (high) this.#high.add(pin);
    else this.#high.delete(pin);
    if (pin === this.#kit.outputs.heartbeatPin) this.missingPulse.edge(atS);
  }

  /** What an observer at the board's pins would note. */
  get pins() {
    const { buzzerPin, lampPin } = this.#kit.outputs;
    return {
      buzzer: this.#high.has(buzzerPin),
      lamp: this.#high.has(lampPin),
      heartbeatEdges: this.missingPulse.edges,
      missingPulseSounding: this.missingPulse.isSounding(this.#nowS),
    };
  }
}

const lastDigitalPin = 13;
const lastAnaloguePin = 5;
const firstBusPin = 4;

function refusePinsAnUnoLacks(kit: Kit): void {
  const refuse = (where: string, what: string) => {
    throw new NodeError('settings-wrong', `The bench has an Arduino Uno: ${where} ${what}`);
  };
  const usesBus = kit.probes.some(({ channel }) => channel.kind === 'mcp960x');
  for (const { id, channel } of kit.probes) {
    if (!('pin' in channel)) continue;
    const pin = Number(channel.pin.slice(1));
    if (pin > lastAnaloguePin) refuse(`probe ${id}`, `uses ${channel.pin}, but there are only A0 to A5.`);
    if (usesBus && pin >= firstBusPin)
      refuse(
        `probe ${id}`,
        `uses ${channel.pin}, which carries the I2C bus of the other probes. Use A0 to A3.`,
      );
  }
  const { port, starboard } = kit.engines;
  const digital = [
    ...Object.entries(kit.outputs),
    ['port runningInput', port.runningInput?.pin] as const,
    ['starboard runningInput', starboard.runningInput?.pin] as const,
  ];
  const taken = new Map<number, string>();
  for (const [what, pin] of digital) {
    if (pin === undefined) continue;
    if (pin > lastDigitalPin) refuse(what, `is pin ${pin}, but there are only 2 to 13.`);
    const other = taken.get(pin);
    if (other) refuse(what, `is pin ${pin}, which ${other} has already.`);
    taken.set(pin, what);
  }
}
