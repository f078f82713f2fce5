import {
  type Certificate,
  certificateName,
  certifiedReading,
  nominalReading,
  ThermometryError,
} from '../../calibration/index.js';
import type { Electrical } from '../channels/kind.js';
import { kindOf } from '../channels/table.js';
import type { Sampled } from '../input/sample.js';
import type { Probe } from '../kit/schema.js';
import type { Measured, Missing, MissingReason, ProbeId, Reading, Signal } from '../reading/reading.js';

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
  const kind = kindOf(channel);
  const { meter } = kind;
  const { sensor } = meter.calibrated(channel, 'iec-2');

  const temperature = (signal: Signal, noise?: Sampled['sample']): Measured | Missing => {
    try {
      // A certificate's uncertainty already holds what the input adds; the nominal curve's does not.
      const { temperatureC, standardUncertaintyC } = certificate
        ? certifiedReading(certificate, signal)
        : nominalReading(sensor, signal);
      const reason = meter.implausible(temperatureC, signal.coldJunctionC);
      if (reason) return missing(reason);
      const ofInputC = certificate ? 0 : meter.inputUncertaintyC(channel, signal, noise);
      return { kind: 'measured', temperatureC, uncertaintyC: Math.hypot(standardUncertaintyC, ofInputC) };
    } catch (error) {
      if (error instanceof ThermometryError) return missing(meter.outsideCurve(signal, sideOf(error)));
      throw error;
    }
  };

  const coldJunction = kind.coldJunction?.(channel);
  const named = certificate && { certificate: certificateName(certificate) };
  return {
    temperature,
    ...named,
    ...(coldJunction !== undefined && { coldJunction }),
    convert({ probe: id, atMs, sample, canaryAstray }, coldJunctionC) {
      const electrical = (): Electrical => {
        if (sample.kind === 'nothing') return { missing: sample.reason };
        // The canary shares its converter with every other count of the board.
        if (canaryAstray && sample.kind === 'counts') return { missing: 'canary-astray' };
        return kind.electrical(channel, sample, coldJunctionC);
      };
      const found = electrical();
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

const missing = (reason: MissingReason): Missing => ({ kind: 'missing', reason });

const sideOf = ({ code }: ThermometryError): 'below' | 'above' | 'neither' =>
  code === 'below-range' ? 'below' : code === 'above-range' ? 'above' : 'neither';
