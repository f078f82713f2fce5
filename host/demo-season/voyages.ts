import { allEngines } from '../../node/index.js';

const hour = 3600;

/** One stretch of a voyage: all throttles for this many seconds. */
export type Leg = { readonly forS: number; readonly throttle: number };

export type Voyage = {
  /** Days before today, and the hour of that day (UTC), at which the kit was switched on. */
  readonly daysAgo: number;
  readonly hourOfDay: number;
  readonly seaC: number;
  readonly airC: number;
  readonly roughness: number;
  readonly legs: readonly Leg[];
  /** Raw-water flow the impeller of the first engine gives, of a new one. */
  readonly wornFlow: number;
  /** What the elbow probe of the second engine (of the only one, where there is one) reads too much, kelvin. */
  readonly driftK: number;
  /** A bag over the intake of the same engine, seconds after switching on. */
  readonly bag?: { readonly atS: number; readonly forS: number };
};

const dayMs = 86_400_000;

/** When the kit was switched on, wall milliseconds, for a season that ends at `todayMs`. */
export const startOf = ({ daysAgo, hourOfDay }: Voyage, todayMs: number): number =>
  Math.floor(todayMs / dayMs - daysAgo) * dayMs + hourOfDay * hour * 1000;

export type Work = {
  readonly daysAgo: number;
  readonly engine: 'worn' | 'bagged' | typeof allEngines;
  readonly work: string;
  readonly restartsBaseline: boolean;
};

/** Which engine of a boat has the season's troubles: the first wears its impeller, the next is bagged and has the drifting probe. */
export const troubled = (ids: readonly string[]): Readonly<Record<'worn' | 'bagged', string>> => {
  const [worn = allEngines, bagged = worn] = ids;
  return { worn, bagged };
};

const count = 32;
const seasonDays = 150;
/** Voyages, counted from the first, over which the impeller loses its vanes. */
const wear = { from: 11, to: 21, flowLeft: 0.72 };
const driftFrom = 16;
const bagged = 27;

/** The season's plan, always the same: what a boat might do from spring to autumn. All of it is invented. */
export const voyages: readonly Voyage[] = Array.from({ length: count }, (_, i) => {
  const daysAgo = Math.round(seasonDays - (i * (seasonDays - 1)) / (count - 1));
  const summer = Math.sin((Math.PI * i) / (count - 1));
  const worn = i < wear.from || i > wear.to ? 0 : (i - wear.from) / (wear.to - wear.from);
  // Odd strides make neighbours differ without a random source.
  const cruise = 0.55 + 0.3 * (((i * 7) % 11) / 10);
  const long = (0.3 + 0.5 * (((i * 5) % 7) / 6)) * hour;
  return {
    daysAgo,
    hourOfDay: 8 + ((i * 3) % 7),
    seaC: 9 + 10 * summer,
    airC: 11 + 11 * summer,
    roughness: ((i * 3) % 5) / 8,
    wornFlow: 1 - worn * (1 - wear.flowLeft),
    driftK: i < driftFrom ? 0 : ((i - driftFrom) / (count - driftFrom)) * 1.5,
    legs: [
      { forS: 240, throttle: 0 },
      { forS: 300, throttle: 0.05 },
      { forS: 420, throttle: 0.3 },
      { forS: long, throttle: cruise },
      { forS: 240, throttle: 1 },
      { forS: long / 2, throttle: cruise * 0.85 },
      { forS: 300, throttle: 0.12 },
      { forS: 600, throttle: 0 },
    ],
    ...(i === bagged && { bag: { atS: 1800, forS: 75 } }),
  };
});

export const works: readonly Work[] = [
  {
    daysAgo: seasonDays + 1,
    engine: allEngines,
    work: 'Season begins; impellers new, coolers cleaned (invented)',
    restartsBaseline: true,
  },
  {
    daysAgo: (voyages[wear.to]?.daysAgo ?? 0) - 1,
    engine: 'worn',
    work: 'Impeller changed, four vanes found torn (invented)',
    restartsBaseline: true,
  },
  {
    daysAgo: (voyages[bagged]?.daysAgo ?? 0) - 1,
    engine: 'bagged',
    work: 'Plastic sheet taken off the intake grille (invented)',
    restartsBaseline: false,
  },
];
