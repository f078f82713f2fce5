/** `npm run bench:calibration`: speeds side by side in one run, printed as ratios. CPU time, best of many rounds. */
import { rederivationUnder, thermocoupleCurve } from '../../../calibration/index.js';
import { readTable } from '../../tables/read-table.js';
import { chance } from '../coverage/chance.js';
import { thermistorCertificate, thermocoupleCertificate } from '../made-points.js';
import { speedInC } from './c-twin.js';

const count = 1_000_000;
const rounds = 25;
/** Readings of a season: 8 probes, once a second, 62 days. */
const season = 43_000_000;

const { uniform } = chance(7);
const curve = thermocoupleCurve('K');
const emf = Float64Array.from({ length: count }, () => 100 + 20_500 * uniform());
const into = new Float64Array(count);
let sink = 0;

/** CPU nanoseconds a conversion, the best round. */
function bestNs(action: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round++) {
    const before = process.cpuUsage();
    action();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, ((user + system) * 1000) / count);
  }
  return best;
}

const mapNs = bestNs(() => {
  sink += curve.mapTemperaturesC(emf, into).refused;
});
const oneNs = bestNs(() => {
  for (let i = 0; i < count; i++) sink += curve.quickTemperatureC(emf[i] as number);
});
const exactNs = bestNs(() => {
  for (let i = 0; i < count; i++) sink += curve.temperatureC(emf[i] as number);
});

/** What is usually done: the printed inverse polynomial, then two Newton steps on the reference function. */
const d = (
  readTable('its90/inverse-polynomials.csv').find((r) => r.type === 'K' && r.emf_min_mv === '0.0')?.d ?? ''
)
  .split(' ')
  .map(Number);
const usualNs = bestNs(() => {
  for (let i = 0; i < count; i++) {
    const e = emf[i] as number;
    let t = 0;
    for (let k = d.length - 1; k >= 0; k--) t = t * (e / 1000) + (d[k] as number);
    for (let step = 0; step < 2; step++) t -= (curve.emfMicrovolts(t) - e) / curve.seebeckMicrovoltsPerC(t);
    sink += t;
  }
});

const cold = Float64Array.from({ length: count }, () => 10 + 40 * uniform());
const ohms = Float64Array.from({ length: count }, () => 600 + 30_000 * uniform());
const thermocouple = rederivationUnder(thermocoupleCertificate());
const thermistor = rederivationUnder(thermistorCertificate());
const thermocoupleNs = bestNs(() => {
  sink += thermocouple({ raw: emf, coldJunctionC: cold }, into).refused;
});
const thermistorNs = bestNs(() => {
  sink += thermistor({ raw: ohms }, into).refused;
});

/** How long one live conversion takes, clock included, at the 99th percentile. */
const laps = Float64Array.from({ length: 200_000 }, (_, i) => {
  const start = process.hrtime.bigint();
  sink += curve.quickTemperatureC(emf[i] as number);
  return Number(process.hrtime.bigint() - start);
}).sort();

const inC = speedInC(emf, rounds);
const row = (what: string, ns: number, ratio: string): void =>
  console.log(`${what.padEnd(52)} ${ns.toFixed(1).padStart(8)} ns   ${ratio}`);
console.log(`type K, ${count} values, best of ${rounds} rounds, CPU time`);
row(
  'map over an array',
  mapNs,
  inC ? `${(mapNs / inC.mapNs).toFixed(2)} x the same in C (goal 3)` : 'no gcc: no ratio',
);
row(
  'one checked conversion, within 1e-7 C',
  oneNs,
  inC ? `${(oneNs / inC.oneNs).toFixed(2)} x the same in C (goal 4.5)` : 'no gcc: no ratio',
);
row('one checked conversion, exact', exactNs, `${(exactNs / oneNs).toFixed(2)} x the quick one`);
row(
  'inverse polynomial and two Newton steps',
  usualNs,
  `map is ${(usualNs / mapNs).toFixed(1)} x faster (goal 8)`,
);
row(
  'live conversion, 99th percentile with the clock',
  laps[Math.floor(laps.length * 0.99)] as number,
  'goal 1000 ns',
);
row(
  'season of a thermocouple, conversion only',
  thermocoupleNs,
  `${((thermocoupleNs * season) / 1e9).toFixed(2)} s of CPU (goal 2)`,
);
row(
  'season of a thermistor, conversion only',
  thermistorNs,
  `${((thermistorNs * season) / 1e9).toFixed(2)} s of CPU (goal 0.4)`,
);
if (!Number.isFinite(sink)) throw new Error('a conversion gave no number');
