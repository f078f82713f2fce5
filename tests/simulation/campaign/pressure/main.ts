import { makeRandom, type Random } from '../../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../../node/bench/plant/twins.js';
import type { ProbeSettings } from '../../../../node/guard/settings.js';
import { type Mounting, type PlantName, plantNames } from '../campaign-plant.js';
import { campaignSettings } from '../campaign-settings.js';
import { commissionBoat } from '../commission-boat.js';
import { DrawnBoat } from '../drawn-boat.js';
import { drawVoyage, followLegs, type Load, throttleOf } from '../voyage.js';
import { Gauges, passWith } from './gauges.js';
import { type Fit, fits, Watch } from './watch.js';

/**
 * How soon a loss is detected with temperatures alone and with pressure, on the same boats and voyages; and how often in
 * vain. `npm run campaign:pressure -- BOATS FIRST_SEED first|second|third|fourth MINUTES`. Takes about 20 s a boat and ends by itself
 * after the minutes, with the boats it has measured.
 */
const [boats = 20, firstSeed = 9001] = process.argv.slice(2, 4).map(Number);
const endsAtMs = performance.now() + 60_000 * Number(process.argv[5] ?? 60);
const plantName: PlantName = plantNames.find((name) => name === process.argv[4]) ?? 'first';

type Cell = { readonly s: number[]; missed: number };
const cells = new Map<string, Cell>();
const falseRaisings: Record<Fit, number> = { temperature: 0, 'with pressure': 0 };
const falseAtStop: Record<Fit, number> = { temperature: 0, 'with pressure': 0 };
const falseRules = new Map<string, number>();
let healthyS = 0;
let stops = 0;

const loads: readonly Load[] = ['idle', 'cruise', 'wide-open'];
const trips = 6;
const learningVoyages = 2;
const watchS = { 'full-loss': 300, impeller: 600 } as const;

let sailed = 0;
for (; sailed < boats && performance.now() < endsAtMs; sailed++) {
  const n = sailed;
  const mounting: Mounting = n % 2 === 0 ? 'well' : 'strap-on';
  sail(firstSeed + n, mounting);
  console.error(`boat ${n + 1} of ${boats}`);
}
report();

function sail(seed: number, mounting: Mounting): void {
  const boat = new DrawnBoat(seed, mounting, plantName);
  const random = makeRandom(seed + 1_000_000);
  const gauges = new Gauges(random);
  const { probes } = commissionBoat(boat, trips, random, false);
  const watches = makeWatches(probes, gauges, boat);
  for (let voyage = 0; voyage < learningVoyages + 2; voyage++)
    healthyVoyage(boat, gauges, watches, random, voyage >= learningVoyages);
  for (const load of loads)
    for (const engine of twins)
      fault(boat, gauges, watches, random, { kind: 'full-loss', load, engine, mounting });
  for (const load of ['cruise', 'wide-open'] as const)
    fault(boat, gauges, watches, random, { kind: 'impeller', load, engine: 'port', mounting });
}

function makeWatches(
  probes: readonly ProbeSettings[],
  gauges: Gauges,
  { atMs }: DrawnBoat,
): Readonly<Record<Fit, Watch>> {
  const watch = (more: readonly ProbeSettings[]) => new Watch(campaignSettings([...probes, ...more]), atMs);
  return {
    temperature: watch([]),
    'with pressure': watch(gauges.pressureProbes),
  };
}

type Watches = Readonly<Record<Fit, Watch>>;

/** An ordinary hour without a fault; what is raised is in vain. */
function healthyVoyage(
  boat: DrawnBoat,
  gauges: Gauges,
  watches: Watches,
  random: Random,
  counts: boolean,
): void {
  const plant = boat.moored();
  const legs = drawVoyage(random);
  const before = new Map<string, boolean>();
  const ran = new Set<TwinId>();
  for (let atS = 0; followLegs(plant, legs, atS); ) {
    const { input, gauges: readings, dtS } = passWith(boat, gauges);
    atS += dtS;
    if (counts)
      for (const engine of twins) {
        const runs = plant.isRunning(engine);
        if (runs) healthyS += dtS;
        else if (ran.has(engine)) stops++;
        if (runs) ran.add(engine);
        else ran.delete(engine);
      }
    for (const fit of fits) {
      const found = watches[fit].pass(input, readings);
      for (const engine of twins) {
        const key = `${fit} ${engine}`;
        if (counts && found.has(engine) && !before.get(key)) {
          const counted = plant.isRunning(engine) ? falseRaisings : falseAtStop;
          counted[fit]++;
          const rule = watches[fit].state.entries.find(({ alert }) => alert.id === `cooling:${engine}`)?.alert
            .rule;
          falseRules.set(`${fit}: ${rule}`, (falseRules.get(`${fit}: ${rule}`) ?? 0) + 1);
        }
        before.set(key, found.has(engine));
      }
    }
  }
}

type Fault = {
  readonly kind: 'full-loss' | 'impeller';
  readonly load: Load;
  readonly engine: TwinId;
  readonly mounting: Mounting;
};

/** Out at a steady load, then the fault; how long until the first alert about that engine's cooling. */
function fault(
  boat: DrawnBoat,
  gauges: Gauges,
  watches: Watches,
  random: Random,
  { kind, load, engine, mounting }: Fault,
): void {
  const plant = boat.moored();
  const [low, high] = throttleOf[load];
  const throttle = random.between(low, high);
  const size = kind === 'full-loss' ? random.between(0, 0.1) : random.between(0.3, 0.7);
  for (const each of twins) plant.setThrottle(each, 0.06);
  const run = (forS: number, each: (sinceS: number, found: ReadonlyMap<Fit, boolean>) => boolean) => {
    for (let sinceS = 0; sinceS < forS; ) {
      const { input, gauges: readings, dtS } = passWith(boat, gauges);
      sinceS += dtS;
      const found = new Map(fits.map((fit) => [fit, watches[fit].pass(input, readings).has(engine)]));
      if (!each(sinceS, found)) return;
    }
  };
  run(240, () => true);
  for (const each of twins) plant.setThrottle(each, throttle);
  run(load === 'idle' ? 300 : 420, () => true);
  const { ailments } = plant.engines[engine];
  if (kind === 'full-loss') ailments.intake = size;
  else ailments.impeller = size;
  const first = new Map<Fit, number>();
  run(watchS[kind], (sinceS, found) => {
    for (const fit of fits) if (found.get(fit) && !first.has(fit)) first.set(fit, sinceS);
    return first.size < fits.length;
  });
  for (const fit of fits) {
    const key = `${kind} ${load} ${mounting} | ${fit}`;
    const cell = cells.get(key) ?? { s: [], missed: 0 };
    cells.set(key, cell);
    const at = first.get(fit);
    if (at === undefined) cell.missed++;
    else cell.s.push(at);
  }
}

function report(): void {
  const at = (sorted: readonly number[], q: number) =>
    sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
  console.log(
    `${sailed} boats of the ${plantName} plant, seeds ${firstSeed} to ${firstSeed + sailed - 1}, ${(healthyS / 3600).toFixed(0)} healthy engine hours, ${stops} stops`,
  );
  for (const [key, { s, missed }] of [...cells].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const sorted = s.toSorted((a, b) => a - b);
    console.log(
      `${key.padEnd(56)} median ${at(sorted, 0.5)?.toFixed(1) ?? '-'} s, p95 ${at(sorted, 0.95)?.toFixed(1) ?? '-'} s, heard ${s.length}, missed ${missed}`,
    );
  }
  for (const fit of fits)
    console.log(
      `false raisings, ${fit}: ${falseRaisings[fit]} while running, ${falseAtStop[fit]} on a stopped engine`,
    );
  for (const [rule, count] of falseRules) console.log(`  ${rule}: ${count}`);
}
