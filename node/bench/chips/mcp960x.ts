import { type ThermocoupleType, thermocoupleCurve } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import type { TwoWireChip } from '../board/two-wire-bus.js';
import { chanceFor, deviation } from '../chance.js';
import type { Random } from '../plant/random.js';
import { LooseContact } from '../probes/loose-contact.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { Surroundings, WiredProbe } from '../probes/wired-probe.js';
import { McpRegisters, register } from './mcp960x-registers.js';

/** Microchip DS20005426G. Microvolts per code at 18 bits, and how much coarser the shorter conversions are. */
const microvoltsPerCode = 2;
const conversionByBits = [
  { codes: 1, periodS: 0.32 },
  { codes: 4, periodS: 0.08 },
  { codes: 16, periodS: 0.02 },
  { codes: 64, periodS: 0.005 },
] as const;
const calculationS = 0.012;
const coldJunctionPeriodS = 0.25;
const typeByBits: readonly ThermocoupleType[] = ['K', 'J', 'T', 'N', 'S', 'E', 'B', 'R'];
/** Ranges the chip itself keeps to, C. Same datasheet. */
const rangeC: Readonly<Record<ThermocoupleType, readonly [number, number]>> = {
  K: [-200, 1372],
  J: [-150, 1200],
  T: [-200, 400],
  N: [-150, 1300],
  E: [-200, 1000],
  S: [250, 1664],
  B: [1000, 1800],
  R: [250, 1664],
};
const updated = 0x40;
const shortCircuit = 0x20;
const openOrRange = 0x10;
/** Typical accuracies of the datasheet, and class 1 thermocouple wire (IEC 60584-1: 0.4 %), as a share of the EMF. */
const coldJunctionWithinC = 0.5;
const offsetWithinMicrovolts = 4;
const wireWithin = 0.003;
/** Codes; the datasheet gives the typical noise as about one code at 18 bits (from memory). */
const noiseCodes = 1;

type McpChannel = Extract<Channel, { kind: 'mcp960x' }>;

export const mcpModels = ['MCP9600', 'MCP9601'] as const;
export type McpModel = (typeof mcpModels)[number];

/**
 * An MCP9601 with a thermocouple on it: conversions in their own time, registers as the bus reads them.
 * As an MCP9600 it cannot see a broken or shorted wire; its open input is then taken to read about nothing,
 * which looks like a probe at the temperature of the chip (the datasheet does not say; the worst case for a guard).
 */
export class Mcp960xChip implements WiredProbe, TwoWireChip {
  readonly probe: Probe;
  readonly address: number;
  fault: ProbeFault | undefined;
  #model: McpModel = 'MCP9601';
  readonly #wire: ThermocoupleType;
  readonly #chance: Random;
  readonly #contact: LooseContact;
  readonly #registers = new McpRegisters();
  readonly #coldErrorC: number;
  readonly #offsetMicrovolts: number;
  readonly #wireFactor: number;
  readonly #twin: () => Mcp960xChip;
  #made: Mcp960xChip | undefined;
  #nextConversionAtS = 0;
  #nextColdAtS = 0;
  #filteredMicrovolts: number | undefined;

  constructor(probe: Probe, channel: McpChannel, seed: number, exact: boolean) {
    this.#chance = chanceFor(seed, probe.id);
    const within = (tolerance: number) => (exact ? 0 : deviation(this.#chance, tolerance));
    this.probe = probe;
    this.address = channel.address;
    this.#wire = channel.thermocouple;
    this.#coldErrorC = within(coldJunctionWithinC);
    this.#offsetMicrovolts = within(offsetWithinMicrovolts);
    this.#wireFactor = 1 + within(wireWithin);
    this.#contact = new LooseContact(this.#chance);
    const twinProbe = { ...probe, id: `${probe.id}-twin` };
    this.#twin = () => {
      this.#made ??= new Mcp960xChip(twinProbe, channel, seed, exact);
      return this.#made;
    };
  }

  get model(): McpModel {
    return this.#model;
  }
  set model(model: McpModel) {
    this.#model = model;
    this.#registers.setDeviceId(model === 'MCP9600' ? 0x40 : 0x41);
  }

  advance(dtS: number, surroundings: Surroundings): void {
    this.#contact.advance(dtS);
    // The twin's thermocouple hangs in the air of the engine room.
    this.#made?.advance(dtS, { ...surroundings, elementC: surroundings.boardC });
    const { atS, boardC } = surroundings;
    if (atS >= this.#nextColdAtS) {
      this.#nextColdAtS = atS + coldJunctionPeriodS;
      const coarse = this.#registers.deviceConfig & 0x80 ? 0.25 : 0.0625;
      const coldC = Math.round((boardC + this.#coldErrorC) / coarse) * coarse;
      if (this.fault !== 'stuck') this.#registers.setTemperature(register.coldJunction, coldC);
    }
    if (atS < this.#nextConversionAtS || (this.#registers.deviceConfig & 0x03) === 0x01) return;
    const { codes, periodS } =
      conversionByBits[(this.#registers.deviceConfig >> 5) & 0x03] ?? conversionByBits[0];
    this.#nextConversionAtS = atS + periodS + calculationS;
    if (this.fault !== 'stuck') this.#convert(codes, surroundings);
    this.#registers.status |= updated;
  }

  #convert(codes: number, { elementC, boardC }: Surroundings): void {
    const broken = this.fault === 'open' || (this.fault === 'loose' && this.#contact.broken);
    const shorted =
      this.fault === 'short' || this.fault === 'short-to-ground' || this.fault === 'short-to-supply';
    const noise = this.#chance.normal() * noiseCodes * microvoltsPerCode;
    const input = broken || shorted ? 0 : this.#thermocoupleMicrovolts(elementC, boardC);
    const step = codes * microvoltsPerCode;
    const microvolts = Math.round((input + this.#offsetMicrovolts + noise) / step) * step;
    this.#registers.setRawCode(microvolts / microvoltsPerCode);
    this.#registers.status &= ~(shortCircuit | openOrRange);
    if (this.#model === 'MCP9601' && (broken || shorted)) {
      this.#registers.status |= shorted ? shortCircuit : openOrRange;
      return;
    }
    this.#showTemperatures(this.#filter(microvolts));
  }

  #thermocoupleMicrovolts(elementC: number, boardC: number): number {
    const curve = thermocoupleCurve(this.#wire);
    const hotC = Math.min(Math.max(elementC, curve.minC), curve.maxC);
    const microvolts = (curve.emfMicrovolts(hotC) - curve.emfMicrovolts(boardC)) * this.#wireFactor;
    return this.fault === 'reversed' ? -microvolts : microvolts;
  }

  /** Y = k X + (1 - k) Y', k = 2 / (2^n + 1). */
  #filter(microvolts: number): number {
    const k = 2 / (2 ** (this.#registers.sensorConfig & 0x07) + 1);
    const before = this.#filteredMicrovolts ?? microvolts;
    this.#filteredMicrovolts = k * microvolts + (1 - k) * before;
    return this.#filteredMicrovolts;
  }

  /** The chip's own linearisation; while the sum is out of range the hot junction keeps its last value. */
  #showTemperatures(microvolts: number): void {
    const type = typeByBits[(this.#registers.sensorConfig >> 4) & 0x07] ?? 'K';
    const curve = thermocoupleCurve(type);
    const coldC = this.#registers.temperature(register.coldJunction);
    const sum = microvolts + curve.emfMicrovolts(coldC);
    const [minC, maxC] = rangeC[type];
    if (sum < curve.emfMicrovolts(minC) || sum > curve.emfMicrovolts(maxC)) {
      this.#registers.status |= openOrRange;
      return;
    }
    const hotC = curve.temperatureC(sum);
    this.#registers.setTemperature(register.hotJunction, hotC);
    this.#registers.setTemperature(register.difference, hotC - coldC);
  }

  /** What answers on the two wires: nothing, this chip, or this chip and a twin that measures the room. */
  get onTheBus(): readonly TwoWireChip[] {
    if (this.fault === 'absent') return [];
    if (this.fault !== 'twin-address') return [this];
    return [this, this.#twin()];
  }

  begin(write: boolean): boolean {
    return this.#registers.begin(write);
  }

  write(byte: number): boolean {
    return this.#registers.write(byte);
  }

  read(): number {
    const again = this.fault === 'repeats-bytes' && this.#chance.chance(0.05);
    return again ? this.#registers.lastByte : this.#registers.read();
  }

  end(): void {}
}
