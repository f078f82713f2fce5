import { dividerOhms } from '../../calibration/index.js';
import type { Channel } from '../kit/schema.js';
import type { MissingReason, Signal } from '../reading/reading.js';
import type { Sample } from '../sense/sample.js';

/** The electrical quantity behind a sample, or why there is none that could be believed. */
export type Electrical = { readonly signal: Signal } | { readonly missing: MissingReason };

/** A code this close to either end of a converter is a wire, not a thermistor. */
const railCounts = 2;

/** Where the MCP960x can live; a cold junction outside is a broken chip or a broken answer (datasheet DS20005426, -40 to 125 C). */
const coldJunctionMinC = -40;
const coldJunctionMaxC = 125;

/**
 * Counts to ohm, volt or microvolt: no temperature yet, and no opinion about one. `coldJunctionC` comes from another
 * probe, for a thermocouple whose converter does not measure it.
 */
export const electrical = (channel: Channel, sample: Sample, coldJunctionC?: number): Electrical => {
  switch (sample.kind) {
    case 'nothing':
      return { missing: sample.reason };
    case 'counts':
      return fromCounts(channel, sample);
    case 'volts':
      return fromVolts(channel, sample, coldJunctionC);
    case 'thermocouple':
      if (!(sample.coldJunctionC >= coldJunctionMinC && sample.coldJunctionC <= coldJunctionMaxC))
        return { missing: 'cold-junction' };
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
  if (channel.kind === 'ntc-divider' || channel.kind === 'ntc-divider-ads1115') {
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

/** Below this an AD8495 has no supply or a shorted output; it stands at 125 mV at 25 C (datasheet, 5 mV/C). */
const deadAmplifierVolts = 0.01;

const fromVolts = (
  channel: Channel,
  { volts, atLimit }: { readonly volts: number; readonly atLimit: boolean },
  coldJunctionC: number | undefined,
): Electrical => {
  if (channel.kind === 'thermocouple-ads1115') {
    // With nothing connected the inputs drift to a rail; a thermocouple stays within 80 mV.
    if (atLimit || Math.abs(volts) > 0.08) return { missing: 'open' };
    if (coldJunctionC === undefined) return { missing: 'stale' };
    return { signal: { raw: volts * 1e6, rawUnit: 'microvolt', coldJunctionC } };
  }
  if (atLimit) return { missing: 'out-of-range' };
  if (volts < deadAmplifierVolts) return { missing: 'short' };
  return { signal: { raw: volts, rawUnit: 'volt' } };
};
