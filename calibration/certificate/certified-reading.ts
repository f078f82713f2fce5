import { correctionAt } from '../model/correction.js';
import { junctionEmfs, typeOf } from '../reading/junctions.js';
import { checkUnit, nominalTemperatureC } from '../reading/sensor.js';
import type { ElectricalSignal, UncertainTemperature } from '../reading/signal.js';
import { thermistorTemperatureC } from '../thermistor/laws.js';
import { thermocoupleCurve } from '../thermocouple/curve.js';
import type { Certificate } from './certificate.js';

/** Beyond the certificate's range the uncertainty grows by this share of the distance. A judgement. */
const growth = 0.03;

/**
 * One reading under a certificate, with its standard uncertainty. Beyond the valid range it still answers, since alarms
 * live there too, with an uncertainty that grows. Throws for a signal that has no temperature at all.
 */
export function certifiedReading(certificate: Certificate, signal: ElectricalSignal): UncertainTemperature {
  const temperatureC = certifiedTemperatureC(certificate, signal);
  return { temperatureC, standardUncertaintyC: standardUncertaintyAt(certificate, temperatureC) };
}

/** The temperature alone, for long histories. Throws as `certifiedReading`. */
export function certifiedTemperatureC(
  { sensor, model }: Pick<Certificate, 'sensor' | 'model'>,
  signal: ElectricalSignal,
): number {
  checkUnit(sensor, signal);
  if (model.kind === 'thermistor') return thermistorTemperatureC(model.law, signal.raw);
  if (model.kind === 'corrected') {
    const indicatedC = model.law
      ? thermistorTemperatureC(model.law, signal.raw)
      : nominalTemperatureC(sensor, signal);
    return indicatedC - correctionAt(model, indicatedC);
  }
  const thermocouple = sensor as Parameters<typeof junctionEmfs>[0];
  const { betweenMicrovolts, coldMicrovolts } = junctionEmfs(thermocouple, signal);
  const corrected = betweenMicrovolts * (1 + model.gain) + model.offsetMicrovolts + coldMicrovolts;
  return thermocoupleCurve(typeOf(thermocouple)).temperatureC(corrected);
}

/** Standard uncertainty of a reading at a temperature, straight between the steps of the certificate's curve. */
export function standardUncertaintyAt(certificate: Certificate, temperatureC: number): number {
  return onCurve(certificate, temperatureC, 'standardUncertaintyC');
}

/** Expanded uncertainty (95 %) of a reading at a temperature. */
export function expandedUncertaintyAt(certificate: Certificate, temperatureC: number): number {
  return onCurve(certificate, temperatureC, 'expandedUncertaintyC');
}

function onCurve(
  { uncertainty }: Certificate,
  temperatureC: number,
  field: 'standardUncertaintyC' | 'expandedUncertaintyC',
): number {
  const first = uncertainty[0] as Certificate['uncertainty'][number];
  const last = uncertainty.at(-1) as Certificate['uncertainty'][number];
  if (temperatureC <= first.temperatureC) return first[field] + growth * (first.temperatureC - temperatureC);
  if (temperatureC >= last.temperatureC) return last[field] + growth * (temperatureC - last.temperatureC);
  const above = uncertainty.findIndex((step) => step.temperatureC > temperatureC);
  const a = uncertainty[above - 1] as Certificate['uncertainty'][number];
  const b = uncertainty[above] as Certificate['uncertainty'][number];
  const share = (temperatureC - a.temperatureC) / (b.temperatureC - a.temperatureC);
  return a[field] + share * (b[field] - a[field]);
}
