import type { Chance } from './chance.js';

/**
 * What is true of one session and one boat. Written from catalogues, physics and the literature named here, by code that
 * imports nothing of the budgets it is to test: other families of distributions, other sizes.
 */
export type Conditions = {
  /** Truth of an ice bath, C. */
  readonly ice: (chance: Chance) => number;
  /** Boiling water less the boiling point of its pressure, C. */
  readonly boil: (chance: Chance) => number;
  /** What the owner does with the pressure. */
  readonly pressure: 'careful' | 'sea level typed as station' | 'sea level typed as station, no altitude';
  /** Offset and gain of the converter, LSB. */
  readonly converter: (chance: Chance) => { readonly offset: number; readonly gain: number };
  readonly resistorPerC: (chance: Chance) => number;
  /** Fixed resistor of the divider. */
  readonly resistorOhms: number;
  /** Share of the difference to the air that a stem draws a probe away. */
  readonly stem: (chance: Chance) => number;
  /** Time constant of the probe; without one it has long settled. */
  readonly tauS?: number;
  /** A third bath beside a thermometer of this standard uncertainty. */
  readonly thirdBath?: number;
  /** Deviation of the wire in shares of its class-2 limit, and the degrees over which it stays alike. */
  readonly wire: (chance: Chance) => { readonly size: number; readonly alikeC: number };
  /** What the wire gains in use, as a share of its temperature above the air. */
  readonly drift: (chance: Chance) => number;
  /** How the error of the cold junction changes between table and engine room, C. */
  readonly coldChange: (chance: Chance) => number;
};

const exponential = ({ uniform }: Chance, mean: number): number => -mean * Math.log(1 - uniform());

/** What the hardware notes describe, and a careful person has. */
export const documented: Conditions = {
  // Melting ice is never below 0; most kitchens come near it, some do not.
  ice: (chance) => exponential(chance, 0.15) - 0.02 * chance.uniform(),
  // Half of the depth as head (0.028 C per cm of water), superheat over a rough bottom, steam drawing in air.
  boil: (chance) => 0.014 * 8 * chance.uniform() + exponential(chance, 0.06) - exponential(chance, 0.08),
  pressure: 'careful',
  // ATmega328P, "2 LSB typical": half of the boards are better.
  converter: (chance) => ({ offset: 1.5 * chance.bell(), gain: 1.5 * chance.bell() }),
  resistorPerC: ({ within }) => 100e-6 * within(),
  resistorOhms: 10_000,
  stem: (chance) => exponential(chance, 0.0007),
  wire: ({ uniform }) => ({ size: 0.4 + 0.6 * uniform(), alikeC: 200 + 300 * uniform() }),
  // Two makers: 0.5 to 1.1 % after hours to days between 350 and 540 C.
  drift: ({ uniform }) => 0.011 * uniform(),
  // MCP9601: 1.5 C at most.
  coldChange: ({ within }) => 1.5 * within(),
};

/** One assumption broken at a time. `promise` is the share that must still hold; 0 marks what is only shown. */
export const whatIf: readonly {
  readonly what: string;
  readonly probe: 'thermistor' | 'thermocouple';
  readonly promise: number;
  readonly twist: Partial<Conditions>;
}[] = [
  { what: 'as documented', probe: 'thermistor', promise: 0.93, twist: {} },
  {
    what: 'ADC offset and gain of 2 LSB each, either sign',
    probe: 'thermistor',
    promise: 0.9,
    twist: {
      converter: ({ uniform }) => ({ offset: uniform() < 0.5 ? 2 : -2, gain: uniform() < 0.5 ? 2 : -2 }),
    },
  },
  {
    what: 'ADC offset and gain of 4 LSB each, either sign',
    probe: 'thermistor',
    promise: 0,
    twist: {
      converter: ({ uniform }) => ({ offset: uniform() < 0.5 ? 4 : -4, gain: uniform() < 0.5 ? 4 : -4 }),
    },
  },
  { what: 'probe lag, tau 60 s', probe: 'thermistor', promise: 0.9, twist: { tauS: 60 } },
  { what: 'probe lag, tau 120 s', probe: 'thermistor', promise: 0.9, twist: { tauS: 120 } },
  {
    what: 'ice 0 to +0.5 C',
    probe: 'thermistor',
    promise: 0.9,
    twist: { ice: ({ uniform }) => 0.5 * uniform() },
  },
  { what: 'ice 0 to +1 C', probe: 'thermistor', promise: 0, twist: { ice: ({ uniform }) => uniform() } },
  {
    what: 'ice within 0.1 C, either way',
    probe: 'thermistor',
    promise: 0.93,
    twist: { ice: ({ within }) => 0.1 * within() },
  },
  {
    what: 'boil within 0.2 C, either way',
    probe: 'thermistor',
    promise: 0.9,
    twist: { boil: ({ within }) => 0.2 * within() },
  },
  {
    what: 'boil 0 to +0.5 C',
    probe: 'thermistor',
    promise: 0,
    twist: { boil: ({ uniform }) => 0.5 * uniform() },
  },
  {
    what: 'sea-level pressure typed as station pressure, 0 to 300 m',
    probe: 'thermistor',
    promise: 0.9,
    twist: { pressure: 'sea level typed as station' },
  },
  {
    what: 'the same, and no altitude given',
    probe: 'thermistor',
    promise: 0.9,
    twist: { pressure: 'sea level typed as station, no altitude' },
  },
  {
    what: 'resistor of 300 ppm/K',
    probe: 'thermistor',
    promise: 0,
    twist: { resistorPerC: ({ within }) => 300e-6 * within() },
  },
  {
    what: 'stem of 0 to 1 % (dipped, not immersed)',
    probe: 'thermistor',
    promise: 0,
    twist: { stem: ({ uniform }) => 0.01 * uniform() },
  },
  {
    what: 'third bath at 60 C, thermometer u = 0.5 C',
    probe: 'thermistor',
    promise: 0.93,
    twist: { thirdBath: 0.5 },
  },
  { what: 'divider of 2.2 kohm', probe: 'thermistor', promise: 0.93, twist: { resistorOhms: 2_200 } },
  { what: 'as documented', probe: 'thermocouple', promise: 0.93, twist: {} },
  {
    what: 'wire uses all of class 2, alike over 650 C (0.9 in 300 C)',
    probe: 'thermocouple',
    promise: 0.9,
    twist: { wire: () => ({ size: 1, alikeC: 650 }) },
  },
  {
    what: 'wire uses all of class 2, alike over 220 C (0.9 in 100 C)',
    probe: 'thermocouple',
    promise: 0.9,
    twist: { wire: () => ({ size: 1, alikeC: 220 }) },
  },
  {
    what: 'wire drifts by 0 to +1 % in use',
    probe: 'thermocouple',
    promise: 0.9,
    twist: { drift: ({ uniform }) => 0.01 * uniform() },
  },
  { what: 'wire drifts by 1.7 % in use', probe: 'thermocouple', promise: 0, twist: { drift: () => 0.017 } },
  {
    what: 'cold junction changes by 1 C, either way',
    probe: 'thermocouple',
    promise: 0.9,
    twist: { coldChange: ({ uniform }) => (uniform() < 0.5 ? 1 : -1) },
  },
  {
    what: 'cold junction changes within 3 C',
    probe: 'thermocouple',
    promise: 0,
    twist: { coldChange: ({ within }) => 3 * within() },
  },
  { what: 'probe lag, tau 60 s', probe: 'thermocouple', promise: 0.9, twist: { tauS: 60 } },
  {
    what: 'ice 0 to +0.5 C',
    probe: 'thermocouple',
    promise: 0.9,
    twist: { ice: ({ uniform }) => 0.5 * uniform() },
  },
  {
    what: 'third bath at 60 C, thermometer u = 0.5 C',
    probe: 'thermocouple',
    promise: 0.93,
    twist: { thirdBath: 0.5 },
  },
];
