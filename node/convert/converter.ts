import {
  type Certificate,
  certificateName,
  certifiedReading,
  nominalReading,
  type Sensor,
  ThermometryError,
} from '../../calibration/index.js';
import type { Channel, Probe } from '../kit/schema.js';
import type { Measured, Missing, MissingReason, ProbeId, Reading, Signal } from '../reading/reading.js';
import type { Sampled } from '../sense/sample.js';
import { type Electrical, electrical } from './electrical.js';
import { inputUncertaintyC } from './input-uncertainty.js';
import { implausibleC, reversedBelowMicrovolts } from './plausible.js';

/** What turns one probe's samples into readings. Pure: the same sample gives the same reading, live and in replay. */
export type Converter = {
  /** `coldJunctionC` only for a thermocouple whose cold junction another probe measures. */
  convert(sampled: Sampled, coldJunctionC?: number): Reading;
  /** The probe that measures this one's cold junction, where its own input does not. */
  readonly coldJunction?: ProbeId;
  /** The second half alone, for a mean of electrical quantities. */
  temperature(signal: Signal): Measured | Missing;
  /** As `id@version` of the certificate in use, where there is one. */
  readonly certificate?: string;
};

export const converterFor = (probe: Probe, certificate?: Certificate): Converter => {
  const { channel } = probe;
  const sensor = sensorOf(channel);

  const temperature = (signal: Signal, noise?: Sampled['sample']): Measured | Missing => {
    try {
      // A certificate's uncertainty already holds what the input adds; the nominal curve's does not.
      const { temperatureC, standardUncertaintyC } = certificate
        ? certifiedReading(certificate, signal)
        : nominalReading(sensor, signal);
      const reason = implausibleC(channel, temperatureC, signal.coldJunctionC);
      if (reason) return missing(reason);
      const ofInputC = certificate ? 0 : inputUncertaintyC(channel, signal, noise);
      return { kind: 'measured', temperatureC, uncertaintyC: Math.hypot(standardUncertaintyC, ofInputC) };
    } catch (error) {
      if (error instanceof ThermometryError) return missing(outsideTheCurve(channel, error, signal));
      throw error;
    }
  };

  const named = certificate && { certificate: certificateName(certificate) };
  return {
    temperature,
    ...named,
    ...(channel.kind === 'thermocouple-ads1115' && { coldJunction: channel.coldJunction }),
    convert({ probe: id, atMs, sample, canaryAstray }, coldJunctionC) {
      const doubted = canaryAstray && sample.kind === 'counts';
      const found: Electrical = doubted
        ? { missing: 'canary-astray' }
        : electrical(channel, sample, coldJunctionC);
      if ('missing' in found) return { probe: id, readAtMs: atMs, result: missing(found.missing) };
      return {
        probe: id,
        readAtMs: atMs,
        signal: found.signal,
        result: temperature(found.signal, sample),
        ...named,
      };
    },
  };
};

const sensorOf = (channel: Channel): Sensor => {
  switch (channel.kind) {
    case 'ntc-divider':
    case 'ntc-divider-ads1115':
      return { kind: 'thermistor', law: channel.thermistor };
    case 'mcp960x':
    case 'thermocouple-ads1115':
      return { kind: 'thermocouple', type: channel.thermocouple };
    case 'ad8495':
    case 'ad8495-ads1115':
      return { kind: 'ad8495', referenceVolts: channel.referenceVolts };
  }
};

const missing = (reason: MissingReason): Missing => ({ kind: 'missing', reason });

/** A resistance no thermistor has is a wire: very large is open, very small is shorted. */
const outsideTheCurve = (
  channel: Channel,
  error: ThermometryError,
  { raw, rawUnit }: Signal,
): MissingReason => {
  if (rawUnit === 'microvolt' && raw < reversedBelowMicrovolts) return 'reversed';
  if (!channel.kind.startsWith('ntc-divider')) return 'implausible';
  return error.code === 'below-range' ? 'open' : 'short';
};
