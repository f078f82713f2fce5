import type { I2cBus } from '../bus/i2c-bus.js';
import { Mcp960x, type Mcp960xAnswer } from '../chips/mcp960x.js';
import type { Channel as ChannelSettings } from '../kit/schema.js';
import type { ProbeId } from '../reading/reading.js';
import type { Clock } from '../time/clock.js';
import { PolledChannel } from './polled-channel.js';
import { reasonOfChip, type Sample } from './sample.js';

/** At 18 bits the chip has a new value every 320 ms at most (datasheet DS20005426); asking faster brings the same again. */
const everyMs = 200;

export const mcp960xChannel = (
  probe: ProbeId,
  settings: Extract<ChannelSettings, { kind: 'mcp960x' }>,
  bus: I2cBus,
  clock: Clock,
): PolledChannel => {
  const chip = new Mcp960x(bus, settings.address, { thermocouple: settings.thermocouple });
  return new PolledChannel({ probe, clock, everyMs, ask: async () => sampleOf(await chip.read()) });
};

const sampleOf = (answer: Mcp960xAnswer): Sample | undefined => {
  if (answer.kind === 'sample') {
    const { emfMicrovolts, coldJunctionC, fresh } = answer;
    if (!fresh) return undefined;
    return { kind: 'thermocouple', emfMicrovolts, coldJunctionC };
  }
  const { fault, detail } = answer;
  const reason =
    fault === 'open' || fault === 'short' || fault === 'out-of-range' || fault === 'reversed'
      ? fault
      : reasonOfChip(fault);
  return { kind: 'nothing', reason, fault, detail };
};
