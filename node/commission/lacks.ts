import { type Bin, bins, type ElbowBaseline } from '../guard/baseline.js';
import { arrangementOf, type GuardSettings } from '../guard/settings.js';
import type { Engine } from '../kit/engines.js';
import type { CommissionBook } from './commission-book.js';

/** What keeps an elbow from being armed, and the shortest way to change that. */
export type Lack = {
  readonly why: string;
  readonly way: string;
  /** There were trips enough; its readings spread too far. */
  readonly only?: 'spread';
};

type Spread = ElbowBaseline['spread'];

/** Six trips gave 1.4 false warnings per 1,000 h in simulation, three gave 3.5, one gave 55. */
export const tripsWanted = 6;
const slamsWanted = 2;
/** Seconds of each kind of moment below which its spread means nothing. */
export const secondsWanted: Readonly<Record<Bin, number>> = {
  'warm-up': 600,
  'falling-fast': 60,
  falling: 120,
  steady: 1200,
  rising: 120,
  'rising-fast': 60,
};
/**
 * An elbow that spreads wider than this at steady load hides a real loss; look for the cause first. Air in the intake of
 * a rough sea spreads a well by 10 K, and the thermostat of a small engine, which warms it by 1.3 K/s, by 15 to 19 K as its slope leads it. What spreads less is armed: it waits longer than others, and above 15 K the fixed rates
 * judge beside it as before commissioning.
 */
const widestSteadyK = 20;
export const leastSecondsToFit = 300;

/** Nothing can be fitted of so few seconds. */
export const tooFew = (seconds: number): Lack => ({
  why: `${seconds} s of running recorded with sea and exhaust gas; ${leastSecondsToFit} s are the least to fit anything`,
  way: 'Run the engine for some minutes while sea and exhaust-gas probe both read; elbowroom wiring shows whether they do.',
});

/** What is missing of one engine's wiring and trips. */
export function tripLacks(book: CommissionBook, engine: Engine, settings: GuardSettings): Lack[] {
  const { trips, slams } = book.engines.get(engine) ?? { trips: 0, slams: 0 };
  const { engineOf, exhaust, sea } = arrangementOf(settings);
  const known = engineOf.get(engine);
  const name = known?.name ?? engine;
  const lacks: Lack[] = [];
  if (!known?.runningInput)
    lacks.push({
      why: `${name} has no running input; the learned detector needs one`,
      way: `Wire the running input of ${name} (hardware notes, Wiring) and name its pin in the kit.`,
    });
  if (!sea)
    lacks.push({
      why: 'there is no sea-water probe',
      way: 'Fit one (hardware notes, Placement); the rise is measured over it.',
    });
  if (!exhaust.has(engine))
    lacks.push({
      why: `${name} has no exhaust-gas probe`,
      way: 'Fit one (hardware notes, Placement): it says how much heat the elbow has to take.',
    });
  if (trips < tripsWanted)
    lacks.push({
      why: `${trips} of ${tripsWanted} trips of ten minutes or more`,
      way: `Make ${tripsWanted - trips} more ordinary trips of ten minutes or more.`,
    });
  if (slams < slamsWanted)
    lacks.push(
      known?.kind === 'generator'
        ? {
            why: `${slams} of ${slamsWanted} large loads switched on at once`,
            way: 'At anchor or at the dock, well ventilated (carbon monoxide), switch a large load on at once, twice. Keep to the maker’s limits.',
          }
        : {
            why: `${slams} of ${slamsWanted} quick openings of the throttle`,
            way: 'In open water, with a second person aboard, go from idle to cruise briskly, twice. Keep to the engine maker’s limits.',
          },
    );
  return lacks;
}

/** What is missing of the moments that must have been seen. */
export function momentLacks(spread: Spread): Lack[] {
  const lacks: Lack[] = [];
  const short = (bin: Bin) => secondsWanted[bin] - spread[bin].seconds;
  if (short('warm-up') > 0)
    lacks.push({
      why: `warm-up: ${spread['warm-up'].seconds} of ${secondsWanted['warm-up']} s`,
      way: 'Start cold and run for seven minutes or more, on another day once more.',
    });
  if (short('steady') > 0)
    lacks.push({
      why: `steady: ${spread.steady.seconds} of ${secondsWanted.steady} s`,
      way: `Hold one speed or load for ${Math.ceil(short('steady') / 60)} minutes longer than so far.`,
    });
  if (short('steady') <= 0 && spread.steady.q998K > widestSteadyK)
    lacks.push({
      why: `steady: spreads by ${spread.steady.q998K.toFixed(1)} K at steady load, more than ${widestSteadyK} K`,
      only: 'spread',
      way: 'With the engine stopped and cold, look for a loose probe or a bad connection, and at the strainer and impeller; then learn from a date after that (--from).',
    });
  return lacks;
}

/**
 * The spreads with those of seldom moments filled in: where one was seen too little it borrows the widest of those that
 * were seen enough. That costs seconds in such a moment, and raises no false alert.
 */
export function borrowed(spread: Spread): Spread {
  const enough = bins.filter((bin) => spread[bin].seconds >= secondsWanted[bin]);
  const widestK = Math.max(0, ...enough.map((bin) => spread[bin].q998K));
  return Object.fromEntries(
    bins.map((bin) => {
      const { seconds, q998K } = spread[bin];
      return [bin, { seconds, q998K: enough.includes(bin) ? q998K : Math.max(q998K, widestK) }];
    }),
  ) as Spread;
}
