import type { z } from 'zod';
import type { InputChain, Sensor, ToleranceClass } from '../../calibration/index.js';
import type { AnalogInput } from '../bus/analog-input.js';
import type { I2cBus } from '../bus/i2c-bus.js';
import type { Ads1115 } from '../chips/ads1115.js';
import type { Turn } from '../input/bus-turn.js';
import type { Input, Sample } from '../input/sample.js';
import type { Quantity } from '../reading/quantity.js';
import type { MissingReason, ProbeId, Signal } from '../reading/reading.js';
import type { Clock } from '../time/clock.js';
import type { ChipFamily } from './chip.js';
import type { Fault, FaultWords } from './fault.js';

/** What opening a channel needs of a board; the real one offers more. */
export type InputBoard = {
  analogInput(pin: string): AnalogInput;
  readonly i2c: I2cBus;
  /** The turns of the chips on it. */
  readonly turn?: Turn;
  /** The one driver of the converter chip at an address, however many channels share it. */
  converterAt(address: number): Ads1115;
  readonly clock: Clock;
};

/** The electrical quantity behind a sample, or why there is none that could be believed. */
export type Electrical = { readonly signal: Signal } | { readonly missing: MissingReason };

/** The sensor behind a channel, and what lies between it and the number. */
export type Chain = { readonly sensor: Sensor; readonly chain: InputChain };

/** How a channel becomes a temperature. */
export interface Thermometer<C> {
  readonly quantity: 'temperature';
  /** What a calibration needs to know; `wire` is the class of the thermocouple wire. */
  calibrated(channel: C, wire: ToleranceClass): Chain;
  /** What the input itself adds to the uncertainty of a reading without a certificate, as k = 1, in kelvin. */
  inputUncertaintyC(channel: C, signal: Signal, sample?: Sample): number;
  /** Why a temperature cannot be true at this input, or undefined when it can. */
  implausible(temperatureC: number, coldJunctionC?: number): MissingReason | undefined;
  /** What a signal means that no temperature on the sensor's curve gives. */
  outsideCurve(signal: Signal, side: 'below' | 'above' | 'neither'): MissingReason;
}

/** How a channel becomes a pressure or a speed, on a straight line of its volts. */
export interface Gauge<C> {
  readonly quantity: Exclude<Quantity, 'temperature'>;
  /** Value and standard uncertainty (k = 1) by the data sheet, in the unit of the quantity; or why there is none. */
  nominal(
    channel: C,
    signal: Signal,
  ): { readonly value: number; readonly uncertainty: number } | MissingReason;
}

export type Meter<C> = Thermometer<C> | Gauge<C>;

/**
 * Everything the node and the host need to know of one kind of channel. The bench keeps its simulator in
 * a map of its own over the same kinds (`node/bench/channels/table.ts`).
 */
export interface ChannelKind<C> {
  /** Its lines in kit.yaml. */
  readonly schema: z.ZodType<C>;
  /** One example of them. */
  readonly example: string;
  /** Circuits that fail together: thermistor dividers share a supply, amplifiers measure their own cold junction. */
  readonly circuit: 'divider' | 'amplifier' | 'other';
  /** The I2C chip it is read through, where it is; the channel then has an `address`. */
  readonly chip?: ChipFamily;
  /** Whether it reports the temperature of terminals, so that a bare thermocouple may name it as its cold junction. */
  readonly servesAsColdJunction: boolean;

  /** What the channel keeps for itself, such as `pin A0`. Two probes may never take the same. */
  takes(channel: C): readonly string[];
  /** What several channels may use together, in the same way only: `address 0x48 input AIN3` as `the supply`. */
  shares?(channel: C): readonly { readonly what: string; readonly as: string }[];
  /** The input as people name it: `A0`, `0x67`, `0x48 AIN0`. */
  inputName(channel: C): string;
  /** All that cannot change while the input is open. Compared as JSON. */
  wired(channel: C): unknown;
  /** What `counts` of this channel are a share of, in volts. */
  supplyVolts(channel: C): number;
  /** The probe that measures its cold junction, where its own input does not. */
  coldJunction?(channel: C): ProbeId;

  /** Opens the input. Called once in the life of a board. */
  open(probe: ProbeId, channel: C, board: InputBoard): Input;
  /** Counts or volts to ohm, volt or microvolt: no temperature yet. */
  electrical(channel: C, sample: HeardSample, coldJunctionC?: number): Electrical;
  readonly meter: Meter<C>;
  readonly words: FaultWords;
  /** Faults that only this kind can find in a reading at the berth; `coldBoatC` is what everything should read, where known. */
  doubts?(channel: C, signal: Signal, coldBoatC?: number): Fault | undefined;
}

/** A sample that says something. */
export type HeardSample = Exclude<Sample, { kind: 'nothing' }>;
