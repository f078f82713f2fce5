import { thermocoupleCurve } from '../../calibration/index.js';
import type { I2cBus } from '../bus/i2c-bus.js';
import { CheckedReads, type ChipFault, sameBytes } from './checked-reads.js';
import {
  clearFinished,
  decodeMcpChip,
  decodeMcpEmfMicrovolts,
  decodeMcpStatus,
  decodeMcpTemperatureC,
  encodeSensorConfig,
  type McpChip,
  type McpThermocouple,
  mcpRegister,
  steadyFullResolution,
} from './mcp960x-registers.js';
import { SelfConsistency } from './self-consistency.js';

export type Mcp960xSample = {
  readonly kind: 'sample';
  readonly chip: McpChip;
  /** The thermocouple's voltage between its two junctions; not yet a temperature. */
  readonly emfMicrovolts: number;
  /** The temperature of the chip, which is the cold junction; read between two equal readings of the voltage. */
  readonly coldJunctionC: number;
  /** False when the chip has finished no conversion since the last sample: the same voltage, seen again. */
  readonly fresh: boolean;
};

export type Mcp960xFault = {
  readonly kind: 'fault';
  readonly fault: ChipFault | 'open' | 'short' | 'out-of-range' | 'reversed';
  readonly detail: string;
};

export type Mcp960xAnswer = Mcp960xSample | Mcp960xFault;

/** After this many samples the settings are looked at again: a chip that lost power for a moment has forgotten them. */
const checkSettingsEvery = 25;
/** A chip's own temperature cannot move further between two samples; more than that is looked at twice. */
const coldJunctionStepC = 0.5;
/** No gas is this much colder than the chip: 40 K of type K. Beyond its range the chip itself only says "open". */
const reversedBelowMicrovolts = -1_600;
/** The largest voltage of any letter type is 76 mV (type E at 1000 C, NIST Monograph 175). */
const mostMicrovolts = 80_000;

/** One MCP9600 or MCP9601 on a bus. Addresses 0x60 to 0x67. */
export class Mcp960x {
  readonly #reads: CheckedReads;
  readonly #bus: I2cBus;
  readonly #address: number;
  readonly #sensorConfig: number;
  readonly #selfConsistency: SelfConsistency;
  #untilSettingsCheck = 0;
  #lastColdJunctionC: number | undefined;

  constructor(bus: I2cBus, address: number, thermocouple: McpThermocouple) {
    this.#bus = bus;
    this.#address = address;
    this.#reads = new CheckedReads(bus, address);
    this.#selfConsistency = new SelfConsistency(this.#reads, thermocoupleCurve(thermocouple));
    this.#sensorConfig = encodeSensorConfig(thermocouple);
  }

  /** One consistent pair of voltage and cold junction, or the reason why there is none. Never rejects. */
  async read(): Promise<Mcp960xAnswer> {
    const answer = await this.#read();
    // The failure may have been a loss of power.
    if (answer.kind === 'fault') this.#untilSettingsCheck = 0;
    return answer;
  }

  async #read(): Promise<Mcp960xAnswer> {
    const id = await this.#reads.read(mcpRegister.deviceId);
    if (id.kind === 'fault') return id;
    const [idByte = 0, revision = 0] = id.bytes;
    const chip = decodeMcpChip(idByte);
    if (chip === undefined) return this.#wrongChip(idByte);
    if (revision === idByte) return this.#fault('repeated-bytes', repeatedBytes);
    const settings = await this.#checkSettings();
    if (settings !== undefined) return settings;
    return this.#readPair(chip);
  }

  async #readPair(chip: McpChip): Promise<Mcp960xAnswer> {
    const before = await this.#reads.read(mcpRegister.status);
    if (before.kind === 'fault') return before;
    const pair = await this.#emfAroundColdJunction();
    if (pair.kind === 'fault') return pair;
    const after = await this.#reads.read(mcpRegister.status);
    if (after.kind === 'fault') return after;
    const [statusBefore = 0] = before.bytes;
    const [statusAfter = 0] = after.bytes;
    const first = decodeMcpStatus(statusBefore, chip);
    const second = decodeMcpStatus(statusAfter, chip);
    if (first.shorted !== second.shorted || first.openOrOutOfRange !== second.openOrOutOfRange)
      return this.#fault('not-settled', 'The fault bits changed while they were read.');
    if (first.updated || second.updated)
      await this.#bus.write(this.#address, [mcpRegister.status.pointer, clearFinished(statusAfter)]);
    if (second.shorted)
      return this.#fault('short', 'The chip sees its thermocouple shorted to ground or supply.');
    const { emfMicrovolts, coldJunctionC } = pair;
    if (second.openOrOutOfRange && emfMicrovolts < reversedBelowMicrovolts)
      return this.#fault(
        'reversed',
        'The voltage is far below zero: the two wires of the thermocouple are swapped.',
      );
    if (second.openOrOutOfRange) return this.#openOrBeyond(chip);
    if (first.updated) {
      const doubt = await this.#selfConsistency.check(pair);
      if (doubt?.kind === 'fault') return doubt;
      if (doubt) return this.#fault(doubt.fault, doubt.message);
    }
    return { kind: 'sample', chip, emfMicrovolts, coldJunctionC, fresh: first.updated };
  }

  #openOrBeyond(chip: McpChip): Mcp960xFault {
    // The MCP9601 senses an open input; the MCP9600 only that the voltage left its range, mostly because it is open.
    if (chip === 'MCP9601')
      return this.#fault('open', 'The chip sees an open thermocouple, or a voltage beyond its range.');
    return this.#fault(
      'out-of-range',
      'The voltage is beyond the range of the thermocouple type; it may be open.',
    );
  }

  async #emfAroundColdJunction(): Promise<
    { readonly kind: 'pair'; readonly emfMicrovolts: number; readonly coldJunctionC: number } | Mcp960xFault
  > {
    let earlier = await this.#reads.read(mcpRegister.rawAdc);
    // A conversion may finish in between, every 320 ms: then once more.
    for (let round = 0; round < 2; round++) {
      if (earlier.kind === 'fault') return earlier;
      const cold = await this.#coldJunction();
      if (cold.kind === 'fault') return cold;
      const later = await this.#reads.read(mcpRegister.rawAdc);
      if (later.kind === 'fault') return later;
      if (sameBytes(earlier.bytes, later.bytes)) {
        const emfMicrovolts = decodeMcpEmfMicrovolts(later.bytes);
        if (emfMicrovolts === undefined || Math.abs(emfMicrovolts) > mostMicrovolts)
          return this.#fault('out-of-range', 'No thermocouple gives this voltage.');
        return { kind: 'pair', emfMicrovolts, coldJunctionC: cold.coldJunctionC };
      }
      if (this.#reads.looksRepeated(earlier, later)) return this.#fault('repeated-bytes', repeatedBytes);
      earlier = later;
    }
    return this.#fault('not-settled', 'Three readings in a row differ.');
  }

  async #coldJunction(): Promise<{ readonly kind: 'cold'; readonly coldJunctionC: number } | Mcp960xFault> {
    const first = await this.#reads.read(mcpRegister.coldJunction);
    if (first.kind === 'fault') return first;
    const coldJunctionC = decodeMcpTemperatureC(first.bytes);
    const last = this.#lastColdJunctionC;
    this.#lastColdJunctionC = coldJunctionC;
    if (last !== undefined && Math.abs(coldJunctionC - last) <= coldJunctionStepC)
      return { kind: 'cold', coldJunctionC };
    const second = await this.#reads.read(mcpRegister.coldJunction);
    if (second.kind === 'fault') return second;
    if (Math.abs(decodeMcpTemperatureC(second.bytes) - coldJunctionC) <= coldJunctionStepC)
      return { kind: 'cold', coldJunctionC };
    this.#lastColdJunctionC = undefined;
    const repeated = this.#reads.looksRepeated(first, second);
    return repeated
      ? this.#fault('repeated-bytes', repeatedBytes)
      : this.#fault('not-settled', 'The cold junction jumped while it was read.');
  }

  /** Writes the settings where they are not what they should be, and reads them back. */
  async #checkSettings(): Promise<Mcp960xFault | undefined> {
    if (this.#untilSettingsCheck-- > 0) return undefined;
    for (const [register, wanted] of [
      [mcpRegister.sensorConfig, this.#sensorConfig],
      [mcpRegister.deviceConfig, steadyFullResolution],
    ] as const) {
      const found = await this.#reads.read(register);
      if (found.kind === 'fault') return found;
      if (found.bytes[0] === wanted) continue;
      await this.#bus.write(this.#address, [register.pointer, wanted]);
      const now = await this.#reads.read(register);
      if (now.kind === 'fault') return now;
      if (now.bytes[0] !== wanted)
        return this.#fault(
          'misconfigured',
          `Register ${register.pointer} does not keep what is written to it.`,
        );
    }
    this.#untilSettingsCheck = checkSettingsEvery;
    return undefined;
  }

  #wrongChip(idByte: number): Mcp960xFault {
    if (this.#reads.isPreviousByte(idByte)) return this.#fault('repeated-bytes', repeatedBytes);
    const met = `0x${idByte.toString(16).padStart(2, '0')}`;
    return this.#fault(
      'wrong-chip',
      `It says ${met} where an MCP9600 says 0x40 and an MCP9601 0x41. Check the address in the kit file; two chips on one address look like this too.`,
    );
  }

  #fault(fault: Mcp960xFault['fault'], detail: string): Mcp960xFault {
    return { kind: 'fault', fault, detail: `${this.#reads.label}: ${detail}` };
  }
}

const repeatedBytes =
  'It gave a byte twice: the bus does not wait for the chip (clock stretching). Shorten the wires, check the pull-ups, slow the bus.';
