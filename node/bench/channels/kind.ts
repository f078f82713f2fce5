import type { Probe } from '../../kit/schema.js';
import type { Mcp960xChip } from '../chips/mcp960x.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { WiredProbe } from '../probes/wired-probe.js';

/** A point in a circuit: its voltage now, and whether it has stopped showing any life. */
export type Tap = { readonly volts: () => number; readonly still: () => boolean };

/** A circuit on a pin: the share of the supply that the pin sees. */
export type ShareOfSupply = { share(): number; readonly still: boolean };

/** Where a simulated channel can be connected. */
export type BenchInputs = {
  readonly seed: number;
  readonly exact: boolean;
  /** The true supply over the nominal one. */
  readonly supplyFactor: number;
  /** Connects a circuit to an analogue pin such as A0. */
  onPin(pin: string, circuit: ShareOfSupply): void;
  /** Connects a point to an input such as AIN2 of the converter chip at an address. */
  tap(address: number, probe: WiredProbe, input: string, tap: Tap): void;
  onBus(chip: Mcp960xChip): void;
};

/** The simulator of one kind of channel: the part of its descriptor that only the bench needs. */
export type BenchChannel<C> = {
  /** What can be done to it. */
  readonly faults: readonly ProbeFault[];
  wire(probe: Probe, channel: C, inputs: BenchInputs): WiredProbe;
};

/** The wires of a probe can be broken, touch each other or touch something else. */
export const wireFaults = ['open', 'short', 'short-to-ground', 'short-to-supply', 'loose', 'stuck'] as const;

export const tapOf = (circuit: ShareOfSupply, supplyVolts: number): Tap => ({
  volts: () => circuit.share() * supplyVolts,
  still: () => circuit.still,
});

/** Connects a divider to its input of a converter chip, and the supply to the input that watches it, where one does. */
export const tapDivider = (
  channel: {
    readonly address: number;
    readonly input: string;
    readonly supplyInput?: string | undefined;
    readonly supplyVolts: number;
  },
  circuit: ShareOfSupply & WiredProbe,
  { supplyFactor, tap }: BenchInputs,
): void => {
  const supplyVolts = channel.supplyVolts * supplyFactor;
  tap(channel.address, circuit, channel.input, tapOf(circuit, supplyVolts));
  if (channel.supplyInput)
    tap(channel.address, circuit, channel.supplyInput, { volts: () => supplyVolts, still: () => false });
};
