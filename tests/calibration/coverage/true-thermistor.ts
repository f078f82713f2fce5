import { boardDivider, type CalibratedInput, type ThermistorLaw } from '../../../calibration/index.js';
import { readTable } from '../../tables/read-table.js';
import { type Chance, smoothCurve } from './chance.js';
import type { Conditions } from './conditions.js';
import type { TrueProbe } from './coverage.js';

/** Makers' tables as ln(R/R25) over temperature, and the beta that the same datasheet prints. */
const families = [
  { table: 'vishay-ntcle100e3-103', column: 'resistance_ohm', per: 10_000, betaK: 3977 },
  { table: 'semitec-103at-2', column: 'resistance_ohm', per: 10_000, betaK: 3435 },
  { table: 'amphenol-material-1', column: 'ratio_rt_r25', per: 1, betaK: 3977 },
].map(({ table, column, per, betaK }) => {
  const rows = readTable(`thermistors/${table}.csv`).map((row) => ({
    x: 1 / (Number(row.temp_c) + 273.15),
    y: Math.log(Number(row[column]) / per),
  }));
  return { betaK, lnRatio: (c: number) => lagrange(rows, 1 / (c + 273.15)) };
});

/** Through the four nearest rows. */
function lagrange(rows: readonly { readonly x: number; readonly y: number }[], x: number): number {
  const above = rows.findIndex((row) => row.x <= x);
  const first = Math.max(0, Math.min(rows.length - 4, above - 2));
  const near = rows.slice(first, first + 4);
  return near.reduce(
    (sum, a) =>
      sum + near.reduce((product, b) => (a === b ? product : (product * (x - b.x)) / (a.x - b.x)), a.y),
    0,
  );
}

/** The datasheet's own curve of the first family, for owners who typed it in. */
const printedCurve: ThermistorLaw = {
  law: 'steinhart-hart-4',
  a: 0.003354016,
  b: 0.000256985,
  c: 2.620131e-6,
  d: 6.383091e-8,
  referenceOhms: 10_000,
};

/** A part of a real family, 5 % and 1 % of beta, with lot-to-lot wiggles of its own, on the pin of a real board. */
export function trueThermistor(chance: Chance, conditions: Conditions): TrueProbe {
  const { within, bell, uniform } = chance;
  const family = families[Math.floor(3 * uniform())] as (typeof families)[number];
  const nominal: ThermistorLaw =
    family === families[0] && uniform() < 0.5
      ? printedCurve
      : { law: 'beta', r25Ohms: 10_000, betaK: family.betaK };
  const resistance = 0.05 * within();
  const slope = 1 + 0.01 * within();
  const wiggle = smoothCurve(chance, 0.4);
  const lnOhms = (c: number): number =>
    Math.log(10_000) + resistance + slope * family.lnRatio(c) + 0.001 * wiggle((c + 40) / 240);
  const { resistorOhms } = conditions;
  const bought = resistorOhms * (1 + 0.01 * within());
  const perC = conditions.resistorPerC(chance);
  const { offset, gain } = conditions.converter(chance);
  const bend = smoothCurve(chance, 0.25);
  const noiseCounts = 0.4 + uniform();
  const roomWarmerC = 30 * uniform();
  /** Kelvin per watt in use less in the bath: in stirred water 15 to 25 mW/K, mounted 6 to 20 (common practice). */
  const heating = 1000 / (6 + 14 * uniform()) - 1000 / (15 + 10 * uniform());

  /** One second: ten conversions, as ohms by the resistor that is printed on the bag. */
  const read = (bodyC: number, warmerC: number): number => {
    const ohms = Math.exp(lnOhms(bodyC));
    const share = ohms / (ohms + bought * (1 + perC * warmerC));
    const level = share * (1024 + gain) + offset + 0.3 * bend(share);
    let sum = 0;
    for (let i = 0; i < 10; i++)
      sum += Math.min(1023, Math.max(0, Math.floor(level + noiseCounts * bell()))) + 0.5;
    return (resistorOhms * sum) / (10_240 - sum);
  };
  const input: CalibratedInput = {
    name: 'probe',
    sensor: { kind: 'thermistor', law: nominal },
    chain: boardDivider({ resistorOhms, thermistorSide: 'low' }),
  };
  return {
    input,
    atTheTable: (bodyC) => ({ raw: read(bodyC, 0), rawUnit: 'ohm' }),
    inUse: (trueC) => {
      const ohms = Math.exp(lnOhms(trueC));
      const watts = (25 * ohms) / (ohms + bought) ** 2;
      return { raw: read(trueC + heating * watts, roomWarmerC), rawUnit: 'ohm' };
    },
  };
}
