import { dividerOhms } from '../../calibration/index.js';
import type { Channel } from '../kit/schema.js';
import type { MissingReason, Signal } from '../reading.js';
import type { Sample } from '../sense/sample.js';

/** The electrical quantity behind a sample, or why there is none that could be believed. */
export type Electrical = { readonly signal: Signal } | { readonly missing: MissingReason };

/** A code this close to either end of a converter is a wire, not a thermistor. */
const railCounts = 2;

/** Where the MCP960x can live; a cold junction outside is a broken chip or a broken answer (datasheet DS20005426, -40 to 125 C). */
const coldJunctionMinC = -40;
const coldJunctionMaxC = 125;

/** Counts to ohm, volt or microvolt: no temperature yet, and no opinion about one. */
export const electrical = (channel: Channel, sample: Sample): Electrical => {
  switch (sample.kind) {
    case 'nothing':
      return { missing: sample.reason };
    case 'counts':
      return fromCounts(channel, sample);
    case 'volts':
      return sample.atLimit
        ? { missing: 'out-of-range' }
        : { signal: { raw: sample.volts, rawUnit: 'volt' } };
    case 'thermocouple':
      if (!(sample.coldJunctionC >= coldJunctionMinC && sample.coldJunctionC <= coldJunctionMaxC))
        return { missing: 'implausible' };
      return {
        signal: { raw: sample.emfMicrovolts, rawUnit: 'microvolt', coldJunctionC: sample.coldJunctionC },
      };
  }
};

const fromCounts = (
  channel: Channel,
  { counts, fullScale }: { readonly counts: number; readonly fullScale: number },
): Electrical => {
  const atGround = counts < railCounts;
  const atSupply = counts > fullScale - railCounts;
  if (channel.kind === 'ntc-divider') {
    // Towards the thermistor's own rail it is shorted; towards the other one it, or its wire, is open.
    const low = channel.thermistorSide === 'low';
    if (atGround) return { missing: low ? 'short' : 'open' };
    if (atSupply) return { missing: low ? 'open' : 'short-to-supply' };
    return { signal: { raw: dividerOhms({ counts, fullScale }, channel), rawUnit: 'ohm' } };
  }
  if (channel.kind === 'ad8495') {
    // Open thermocouple: the amplifier runs to its supply. Without supply, or shorted, its output lies on ground.
    if (atGround) return { missing: 'short' };
    if (atSupply) return { missing: 'open' };
    return { signal: { raw: (counts / fullScale) * channel.supplyVolts, rawUnit: 'volt' } };
  }
  return { missing: 'implausible' };
};
