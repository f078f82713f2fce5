import { z } from 'zod';
import { mcp960xChain } from '../../calibration/index.js';
import { Mcp960x, type Mcp960xAnswer } from '../chips/mcp960x.js';
import { PolledChannel } from '../input/polled-channel.js';
import { reasonOfChip, type Sample } from '../input/sample.js';
import { mcp960x as chip } from './chip.js';
import { hex, letterType } from './fields.js';
import type { ChannelKind } from './kind.js';
import {
  calibratedThermocouple,
  microvoltsPerC,
  reversedThermocouple,
  thermocoupleMeter,
  thermocoupleWords,
} from './thermocouple-input.js';

const schema = z.strictObject({
  kind: z.literal('mcp960x'),
  address: z.number().int().min(0x60).max(0x67),
  thermocouple: letterType,
});

/** At 18 bits the chip has a new value every 320 ms at most (datasheet DS20005426); asking faster brings the same again. */
const everyMs = 200;
/** 2 uV per count at 18 bits; offset error at most 2 uV (datasheet DS20005426), rectangular. */
const offsetMicrovolts = 2;
/** Where the chip can live; a cold junction outside is a broken chip or a broken answer (datasheet, -40 to 125 C). */
const coldJunctionMinC = -40;
const coldJunctionMaxC = 125;

/** An MCP9600 or MCP9601, which measures its own cold junction and sends the thermocouple's voltage. */
export const mcp960x = {
  schema,
  example: 'channel: { kind: mcp960x, address: 0x67, thermocouple: K }',
  circuit: 'amplifier',
  chip,
  servesAsColdJunction: false,
  takes: ({ address }) => [`address ${hex(address)}`],
  inputName: ({ address }) => hex(address),
  // The type is written into the chip when it is set up.
  wired: ({ address, thermocouple }) => [address, thermocouple],
  supplyVolts: () => 5,
  open: (probe, { address, thermocouple }, { i2c, turn, clock }) => {
    const chip = new Mcp960x(i2c, address, thermocouple);
    return new PolledChannel({
      probe,
      clock,
      everyMs,
      ...(turn && { turn }),
      ask: async () => sampleOf(await chip.read()),
    });
  },
  electrical: (_, sample) => {
    if (sample.kind !== 'thermocouple') return { missing: 'implausible' };
    const { emfMicrovolts, coldJunctionC } = sample;
    if (!(coldJunctionC >= coldJunctionMinC && coldJunctionC <= coldJunctionMaxC))
      return { missing: 'cold-junction' };
    return { signal: { raw: emfMicrovolts, rawUnit: 'microvolt', coldJunctionC } };
  },
  meter: {
    ...thermocoupleMeter,
    inputUncertaintyC: () => offsetMicrovolts / microvoltsPerC / Math.sqrt(3),
    calibrated: calibratedThermocouple(mcp960xChain),
  },
  words: thermocoupleWords,
  doubts: reversedThermocouple,
} satisfies ChannelKind<z.infer<typeof schema>>;

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
