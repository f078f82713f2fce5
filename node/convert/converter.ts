import {
  type Certificate,
  certificateName,
  certifiedPressure,
  certifiedReading,
  nominalReading,
  type PressureCertificate,
  ThermometryError,
} from '../../calibration/index.js';
import type { Electrical, Gauge, Meter, Thermometer } from '../channels/kind.js';
import { type Channel, kindOf } from '../channels/table.js';
import type { Sampled } from '../input/sample.js';
import type { Probe } from '../kit/schema.js';
import { valued } from '../reading/quantity.js';
import type { Measured, Missing, MissingReason, ProbeId, Reading, Signal } from '../reading/reading.js';

/** A certificate of a probe of any quantity. */
export type AnyCertificate = Certificate | PressureCertificate;

/** What turns one probe's samples into readings. Pure: the same sample gives the same reading, live and in replay. */
export type Converter = {
  /** `coldJunctionC` only for a thermocouple whose cold junction another probe measures. */
  convert(sampled: Sampled, coldJunctionC?: number): Reading;
  /** The probe that measures this one's cold junction, where its own input does not. */
  readonly coldJunction?: ProbeId;
  /** The second half alone, for a mean of electrical quantities. */
  measured(signal: Signal): Measured | Missing;
  /** As `id@version` of the certificate in use, where there is one. */
  readonly certificate?: string;
};

export const converterFor = (probe: Probe, certificate?: AnyCertificate): Converter => {
  const { channel } = probe;
  const kind = kindOf(channel);
  const measured = measure(channel, kind.meter, certificate);

  const coldJunction = kind.coldJunction?.(channel);
  const named = certificate && { certificate: certificateName(certificate) };
  return {
    measured,
    ...named,
    ...(coldJunction !== undefined && { coldJunction }),
    convert({ probe: id, atMs, sample, referencePinOff }, coldJunctionC) {
      const electrical = (): Electrical => {
        if (sample.kind === 'nothing') return { missing: sample.reason };
        // The reference pin shares its converter with every other count of the board.
        if (referencePinOff && sample.kind === 'counts') return { missing: 'canary-astray' };
        return kind.electrical(channel, sample, coldJunctionC);
      };
      const found = electrical();
      if ('missing' in found) return { probe: id, readAtMs: atMs, result: missing(found.missing) };
      return {
        probe: id,
        readAtMs: atMs,
        signal: found.signal,
        result: measured(found.signal, sample),
        ...named,
      };
    },
  };
};

type Measure = (signal: Signal, noise?: Sampled['sample']) => Measured | Missing;

/** Only a certificate of the meter's own quantity is used; `readCertificate` refuses any other with its reason. */
const measure = (
  channel: Channel,
  meter: Meter<Channel>,
  certificate: AnyCertificate | undefined,
): Measure => {
  const ofPressure = certificate && 'pressureCertificate' in certificate;
  if (meter.quantity === 'temperature')
    return temperature(channel, meter, ofPressure ? undefined : certificate);
  return onLine(channel, meter, ofPressure ? certificate : undefined);
};

const temperature = (
  channel: Channel,
  meter: Thermometer<Channel>,
  certificate: Certificate | undefined,
): Measure => {
  const { sensor } = meter.calibrated(channel, 'iec-2');
  return (signal, noise) => {
    try {
      // A certificate's uncertainty already holds what the input adds; the nominal curve's does not.
      const { temperatureC, standardUncertaintyC } = certificate
        ? certifiedReading(certificate, signal)
        : nominalReading(sensor, signal);
      const reason = meter.implausible(temperatureC, signal.coldJunctionC);
      if (reason) return missing(reason);
      const ofInputC = certificate ? 0 : meter.inputUncertaintyC(channel, signal, noise);
      const uncertaintyC = Math.hypot(standardUncertaintyC, ofInputC);
      return { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC };
    } catch (error) {
      if (error instanceof ThermometryError) return missing(meter.outsideCurve(signal, sideOf(error)));
      throw error;
    }
  };
};

const onLine =
  (channel: Channel, gauge: Gauge<Channel>, certificate: PressureCertificate | undefined): Measure =>
  (signal) => {
    const found = certificate ? certifiedPressure(certificate, signal.raw) : gauge.nominal(channel, signal);
    return typeof found === 'string'
      ? missing(found)
      : { kind: 'measured', ...valued(gauge.quantity, found.value, found.uncertainty) };
  };

const missing = (reason: MissingReason): Missing => ({ kind: 'missing', reason });

const sideOf = ({ code }: ThermometryError): 'below' | 'above' | 'neither' =>
  code === 'below-range' ? 'below' : code === 'above-range' ? 'above' : 'neither';
