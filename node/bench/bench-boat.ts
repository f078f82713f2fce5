import { kindOf } from '../channels/table.js';
import { allEngines, type Engine } from '../kit/engines.js';
import { quantityAt } from '../kit/places.js';
import type { Kit, Probe } from '../kit/schema.js';
import type { Outside } from './board/emulation.js';
import type { TwoWireChip } from './board/two-wire-bus.js';
import { Buzzer } from './circuits/buzzer.js';
import { MissingPulse } from './circuits/missing-pulse.js';
import { RunningInput } from './circuits/running-input.js';
import type { Plant } from './plant/plant.js';
import { Element } from './probes/element.js';
import type { Surroundings, WiredProbe } from './probes/wired-probe.js';
import { Wiring } from './wiring.js';
import type { Spot } from './world.js';

/** Emulated time between two steps of the world; probes follow in between only as fast as this. */
const worldStepS = 0.05;
/** The dead-man circuit's time; longer than the slowest healthy pass and short against what an elbow takes to overheat. */
export const missingPulseS = 2.2;
const engineRoomAir = { engine: allEngines, place: 'engine-room', mounting: 'free' } as const;

/** What is no thermometer has its body in the engine-room air. */
const spotOf = (probe: Probe): Spot => (quantityAt[probe.place] === 'temperature' ? probe : engineRoomAir);

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
  readonly world: Plant<string>;
  readonly elements: ReadonlyMap<string, Element>;
  readonly runningInputs: ReadonlyMap<Engine, RunningInput>;
  readonly missingPulse = new MissingPulse(missingPulseS);
  readonly buzzer: Buzzer;
  /** Air pressure around the kettle, for the boiling bath. */
  pressureHectopascals = 1013.25;
  /** Pressure probes that are off their engine, with a hose of water held up, kPa. */
  readonly heldUpKpa = new Map<string, number>();
  readonly #kit: Kit;
  readonly #wiring: Wiring;
  readonly #high = new Set<number>();
  #worldDebtS = 0;
  #nowS = 0;

  constructor(kit: Kit, world: Plant<string>, { seed = 1, exact = false }: BenchBoatOptions = {}) {
    this.#kit = kit;
    this.#wiring = new Wiring(kit, seed, exact);
    this.buzzer = new Buzzer(kit.buzzerCurrent);
    if (kit.buzzerCurrent)
      this.#wiring.connect(kit.buzzerCurrent.pin, () =>
        this.buzzer.share(this.pins.buzzer, this.pins.missingPulseSounding),
      );
    this.world = world;
    this.elements = new Map(kit.probes.map((probe) => [probe.id, new Element()]));
    this.runningInputs = new Map(
      kit.engines.flatMap(({ id, runningInput }) =>
        runningInput ? [[id, new RunningInput(runningInput)]] : [],
      ),
    );
  }

  get probes(): ReadonlyMap<string, WiredProbe> {
    return this.#wiring.probes;
  }

  advance(dtS: number, atS: number): void {
    this.#nowS = atS;
    this.#worldDebtS += dtS;
    if (this.#worldDebtS >= worldStepS - 1e-9) {
      this.world.step(this.#worldDebtS);
      this.#worldDebtS = 0;
    }
    for (const [engine, input] of this.runningInputs) input.advance(this.world.isRunning(engine));
    for (const [id, { probe }] of this.probes)
      this.elements.get(id)?.advance(dtS, this.world.elementTemperatureC(spotOf(probe)));
    for (const [id, wired] of this.probes)
      wired.advance(dtS, {
        atS,
        elementC: this.#elementC(id),
        boardC: this.#terminalsC(wired),
        ...this.#engineOf(wired),
      });
  }

  /** What a pressure or speed probe sees of its engine; a pressure probe may have a hose of water instead. */
  #engineOf({ probe }: WiredProbe): Pick<Surroundings, 'engine'> {
    const { id, engine } = probe;
    const heldUpKpa = this.heldUpKpa.get(id);
    if (!this.#kit.engines.some((known) => known.id === engine)) return {};
    return {
      engine: {
        pressureKpa: heldUpKpa ?? this.world.pumpPressureKpa(engine),
        speedRpm: this.world.rpm(engine),
      },
    };
  }

  #elementC(id: string): number {
    return this.elements.get(id)?.temperatureC ?? this.world.elementTemperatureC(engineRoomAir);
  }

  /** Where the wires of a probe end: in the air around the board, unless the kit has a probe just there. */
  #terminalsC({ probe: { channel } }: WiredProbe): number {
    const there = kindOf(channel).coldJunction?.(channel);
    if (there !== undefined) return this.#elementC(there);
    return this.world.elementTemperatureC(engineRoomAir);
  }

  analogCounts(pin: number): number | undefined {
    return this.#wiring.analogCounts(pin);
  }

  inputLevel(pin: number): boolean | undefined {
    for (const input of this.runningInputs.values()) if (input.pin === pin) return input.level;
    return undefined;
  }

  chips(): readonly TwoWireChip[] {
    return this.#wiring.chips();
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
