import { ThermometryError } from '../errors.js';
import { historyCorrection } from '../model/correction.js';
import { unitOf } from '../reading/sensor.js';
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
  if (model.kind === 'thermistor')
    throw new ThermometryError('bad-certificate', 'The model of this certificate does not fit its sensor.');
  if (sensor.kind !== 'thermocouple')
    return eachReading((raw, cold) =>
      certifiedTemperatureC(certificate, {
        raw,
        rawUnit: unitOf(sensor),
        ...(Number.isNaN(cold) ? {} : { coldJunctionC: cold }),
      }),
    );
  const offset = model.kind === 'corrected' ? 0 : model.offsetMicrovolts;
  const gain = model.kind === 'corrected' ? 1 : 1 + model.gain;
  const correct = model.kind === 'corrected' ? historyCorrection(model) : () => undefined;
  const curve = thermocoupleCurve(sensor.type);
  return inBlocks((raw, coldJunctionC, emf, intoC) => {
    curve.mapEmfMicrovolts(coldJunctionC, emf);
    for (let i = 0; i < raw.length; i++) emf[i] = (raw[i] as number) * gain + offset + (emf[i] as number);
    const { refused } = curve.mapTemperaturesC(emf, intoC);
    correct(intoC);
    return refused;
  });
}

/** Readings that stay in the processor's nearest memory from one step to the next. */
const block = 512;

/** Runs a thermocouple's steps over a history, block by block, with room for the EMF between them. */
function inBlocks(
  convert: (raw: Float64Array, coldJunctionC: Float64Array, emf: Float64Array, intoC: Float64Array) => number,
): Rederivation {
  const emf = new Float64Array(block);
  return ({ raw, coldJunctionC = new Float64Array(raw.length).fill(Number.NaN) }, intoC) => {
    let refused = 0;
    for (let from = 0; from < raw.length; from += block) {
      const to = Math.min(raw.length, from + block);
      refused += convert(
        raw.subarray(from, to),
        coldJunctionC.subarray(from, to),
        emf.subarray(0, to - from),
        intoC.subarray(from, to),
      );
    }
    return { refused };
  };
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
