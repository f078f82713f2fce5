import type { Channel, ChannelOf, KindName } from '../../channels/table.js';
import { Mcp960xChip } from '../chips/mcp960x.js';
import { Ad8495Output } from '../circuits/ad8495-output.js';
import { BareThermocouple } from '../circuits/bare-thermocouple.js';
import { NtcDivider } from '../circuits/ntc-divider.js';
import { PlatinumDivider } from '../circuits/platinum-divider.js';
import { VoltageTransmitter } from '../circuits/voltage-transmitter.js';
import { type BenchChannel, tapDivider, tapOf, wireFaults } from './kind.js';

/** The simulator of every kind of channel. The compiler refuses this map while a kind of the node has none. */
const simulators: { readonly [K in KindName]: BenchChannel<ChannelOf[K]> } = {
  'ntc-divider': {
    faults: [...wireFaults, 'wrong-resistor'],
    wire(probe, channel, { seed, exact, onPin }) {
      const circuit = new NtcDivider(probe, channel, seed, exact);
      onPin(channel.pin, circuit);
      return circuit;
    },
  },
  ad8495: {
    faults: [...wireFaults, 'reversed'],
    wire(probe, channel, { seed, exact, supplyFactor, onPin }) {
      const circuit = new Ad8495Output(probe, channel, channel.supplyVolts * supplyFactor, seed, exact);
      onPin(channel.pin, circuit);
      return circuit;
    },
  },
  mcp960x: {
    faults: [...wireFaults, 'reversed', 'absent', 'twin-address', 'repeats-bytes'],
    wire(probe, channel, { seed, exact, onBus }) {
      const chip = new Mcp960xChip(probe, channel, seed, exact);
      onBus(chip);
      return chip;
    },
  },
  'ntc-divider-ads1115': {
    faults: [...wireFaults, 'wrong-resistor', 'absent'],
    wire(probe, channel, tools) {
      const circuit = new NtcDivider(probe, channel, tools.seed, tools.exact);
      tapDivider(channel, circuit, tools);
      return circuit;
    },
  },
  'platinum-divider-ads1115': {
    faults: [...wireFaults, 'absent'],
    wire(probe, channel, tools) {
      const circuit = new PlatinumDivider(probe, channel, tools.seed, tools.exact);
      tapDivider(channel, circuit, tools);
      return circuit;
    },
  },
  'ad8495-ads1115': {
    faults: [...wireFaults, 'reversed', 'absent'],
    wire(probe, channel, { seed, exact, supplyFactor, tap }) {
      const supplyVolts = 5 * supplyFactor;
      const circuit = new Ad8495Output(probe, channel, supplyVolts, seed, exact);
      tap(channel.address, circuit, channel.input, tapOf(circuit, supplyVolts));
      return circuit;
    },
  },
  'thermocouple-ads1115': {
    faults: ['open', 'short', 'loose', 'stuck', 'reversed', 'absent'],
    wire(probe, channel, { seed, exact, tap }) {
      const circuit = new BareThermocouple(probe, channel, seed, exact);
      const [positive = ''] = channel.input.split('-');
      tap(channel.address, circuit, positive, { volts: () => circuit.volts, still: () => circuit.still });
      return circuit;
    },
  },
  'ratiometric-pressure': {
    faults: [...wireFaults, 'blocked-port'],
    wire(probe, channel, { seed, exact, onPin }) {
      const circuit = new VoltageTransmitter(
        probe,
        {
          valueIn: ({ engine }) => engine?.pressureKpa ?? 0,
          shareOf: (kpa) => 0.1 + (0.8 * kpa) / channel.fullScaleKpa,
          // 1 % of full scale each (usual datasheets).
          zeroWithin: 0.008,
          spanWithin: 0.01,
        },
        seed,
        exact,
      );
      onPin(channel.pin, circuit);
      return circuit;
    },
  },
  'speed-volts': {
    faults: wireFaults,
    wire(probe, channel, { seed, exact, onPin }) {
      const circuit = new VoltageTransmitter(
        probe,
        {
          valueIn: ({ engine }) => engine?.speedRpm ?? 0,
          shareOf: (rpm) => rpm / channel.rpmPerVolt / 5,
          zeroWithin: 0.001,
          spanWithin: 0.02,
        },
        seed,
        exact,
      );
      onPin(channel.pin, circuit);
      return circuit;
    },
  },
};

/** The simulator of a channel. The map holds each under its own kind, which is what makes the cast right. */
export const simulatorOf = ({ kind }: Channel): BenchChannel<Channel> =>
  simulators[kind] as BenchChannel<Channel>;
