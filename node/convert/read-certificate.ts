import { resolve } from 'node:path';
import {
  type Certificate,
  type PressureCertificate,
  parseCertificate,
  parsePressureCertificate,
  sensorName,
} from '../../calibration/index.js';
import { kindOf } from '../channels/table.js';
import { NodeError } from '../errors/node-error.js';
import { readWhole } from '../kit/read-whole.js';
import type { Probe } from '../kit/schema.js';
import type { AnyCertificate } from './converter.js';

/**
 * The certificate a probe names, from a path relative to its kit file; undefined when it names none. Throws `NodeError`
 * when the file cannot be read or was made for another probe, another sensor or another divider: such a certificate
 * would give wrong degrees with great confidence.
 */
export const readCertificate = (probe: Probe, kitFolder: string): AnyCertificate | undefined => {
  if (probe.certificate === undefined) return undefined;
  const path = resolve(kitFolder, probe.certificate);
  let text: string;
  try {
    text = readWhole(path);
  } catch (cause) {
    throw wrong(probe, (cause as Error).message, cause);
  }
  return certificateFrom(probe, text, path);
};

/** The certificate in a text, where it fits the probe; `path` is what messages call it. Throws as `readCertificate`. */
export const certificateFrom = (probe: Probe, text: string, path: string): AnyCertificate => {
  const { meter } = kindOf(probe.channel);
  if (meter.quantity === 'pressure') return pressureCertificateFrom(probe, text, path);
  if (meter.quantity === 'speed') throw wrong(probe, 'there is none for a speed.');
  let certificate: Certificate;
  try {
    certificate = parseCertificate(text, path);
  } catch (cause) {
    throw wrong(probe, (cause as Error).message, cause);
  }
  const objection = objectionTo(certificate, probe);
  if (objection) throw wrong(probe, `${path} ${objection}`);
  return certificate;
};

const pressureCertificateFrom = (probe: Probe, text: string, path: string): PressureCertificate => {
  let certificate: PressureCertificate;
  try {
    certificate = parsePressureCertificate(text, path);
  } catch (cause) {
    throw wrong(probe, (cause as Error).message, cause);
  }
  if (certificate.probe.id !== probe.id)
    throw wrong(probe, `${path} was made for probe ${certificate.probe.id}.`);
  if ('fullScaleKpa' in probe.channel && certificate.fullScaleKpa !== probe.channel.fullScaleKpa)
    throw wrong(
      probe,
      `${path} is for a transducer of ${certificate.fullScaleKpa} kPa, and the kit says ${probe.channel.fullScaleKpa}.`,
    );
  return certificate;
};

const objectionTo = (
  { probe: of, sensor, chain }: Certificate,
  { id, channel }: Probe,
): string | undefined => {
  if (of.id !== id) return `was made for probe ${of.id}.`;
  const { meter } = kindOf(channel);
  if (meter.quantity !== 'temperature') return `is for a thermometer, and the kit says ${channel.kind}.`;
  const kit = meter.calibrated(channel, 'iec-2');
  if (sensor.kind !== kit.sensor.kind) return `is for a ${sensor.kind}, and the kit says ${kit.sensor.kind}.`;
  if (sensorName(sensor) !== sensorName(kit.sensor))
    return `is for ${sensorName(sensor)}, and the kit says ${sensorName(kit.sensor)}.`;
  if (
    chain.kind === 'divider' &&
    kit.chain.kind === 'divider' &&
    chain.divider.resistorOhms !== kit.chain.divider.resistorOhms
  )
    return `was made with ${chain.divider.resistorOhms} ohm in the divider, and the kit says ${kit.chain.divider.resistorOhms}.`;
  return undefined;
};

const wrong = (probe: Probe, why: string, cause?: unknown): NodeError =>
  new NodeError(
    'certificate-wrong',
    `The certificate of probe ${probe.id} cannot be used: ${why} Calibrate it (elbowroom ${kindOf(probe.channel).meter.quantity === 'pressure' ? 'calibrate-pressure' : 'calibrate'} --probe ${probe.id}), or take the certificate line out of the kit to continue the datasheet's curve.`,
    { cause },
  );
