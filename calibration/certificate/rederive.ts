import { ThermometryError } from '../errors.js';
import { tabledCorrection } from '../model/correction.js';
import { junctionEmfs, typeOf } from '../reading/sensor.js';
import { ThermistorTable } from '../thermistor/law-table.js';
import { thermocoupleCurve } from '../thermocouple/curve.js';
import type { Certificate } from './certificate.js';
import { certifiedTemperatureC, standardUncertaintyAt } from './certified-reading.js';

/** Raw quantities of one probe side by side, as they were stored. Cold junctions only for thermocouples. */
export type RawHistory = {
  readonly raw: Float64Array;
  readonly coldJunctionC?: Float64Array;
};

/** Turns stored raw quantities into temperatures under a certificate; NaN where there is none, and how many those are. */
export type Rederivation = (history: RawHistory, intoC: Float64Array) => { readonly refused: number };

/** Prepares the tables of a certificate once, for any number of arrays. */
export function rederivationUnder(certificate: Certificate): Rederivation {
  const { model, sensor } = certificate;
  if (sensor.kind === 'thermistor') {
    const table = new ThermistorTable('law' in model && model.law ? model.law : sensor.law, (ohms) =>
      certifiedTemperatureC(certificate, { raw: ohms, rawUnit: 'ohm' }),
    );
    return ({ raw }, intoC) => table.mapTemperaturesC(raw, intoC);
  }
  if (sensor.kind === 'platinum')
    return eachReading((raw) => certifiedTemperatureC(certificate, { raw, rawUnit: 'ohm' }));
  if (model.kind === 'thermistor')
    throw new ThermometryError('bad-certificate', 'The model of this certificate does not fit its sensor.');
  const offset = model.kind === 'corrected' ? 0 : model.offsetMicrovolts;
  const gain = model.kind === 'corrected' ? 1 : 1 + model.gain;
  const correction = model.kind === 'corrected' ? tabledCorrection(model) : () => 0;
  const corrected = (indicatedC: number): number => indicatedC - correction(indicatedC);
  const curve = thermocoupleCurve(typeOf(sensor));
  if (sensor.kind === 'ad8495')
    return eachReading((raw, cold) => {
      const { betweenMicrovolts, coldMicrovolts } = junctionEmfs(sensor, {
        raw,
        rawUnit: 'volt',
        ...(Number.isNaN(cold) ? {} : { coldJunctionC: cold }),
      });
      return corrected(curve.quickTemperatureC(betweenMicrovolts * gain + offset + coldMicrovolts));
    });
  return eachReading((raw, cold) =>
    corrected(curve.quickTemperatureC(raw * gain + offset + curve.quickEmfMicrovolts(cold))),
  );
}

function eachReading(temperatureC: (raw: number, coldJunctionC: number) => number): Rederivation {
  return ({ raw, coldJunctionC }, intoC) => {
    let refused = 0;
    for (let i = 0; i < raw.length; i++) {
      try {
        intoC[i] = temperatureC(raw[i] as number, coldJunctionC ? (coldJunctionC[i] as number) : Number.NaN);
      } catch (error) {
        if (!(error instanceof ThermometryError)) throw error;
        intoC[i] = Number.NaN;
        refused++;
      }
    }
    return { refused };
  };
}

/** Standard uncertainties of many readings, from a table of whole tenths of a degree. */
export function uncertaintiesUnder(certificate: Certificate): (temperatureC: number) => number {
  const known = new Map<number, number>();
  return (temperatureC) => {
    const key = Math.round(temperatureC * 10);
    let u = known.get(key);
    if (u === undefined) {
      u = standardUncertaintyAt(certificate, key / 10);
      known.set(key, u);
    }
    return u;
  };
}
