import type { Random } from '../../../node/bench/plant/random.js';
import type { TwinId as Engine } from '../../../node/bench/plant/twins.js';
import type { DrawnBoat } from './drawn-boat.js';
import { type Load, throttleOf } from './voyage.js';

export const faultKinds = [
  'full-loss',
  'impeller',
  'strainer',
  'sea-step',
  'overload',
  'injector',
  'probe-open',
  'exhaust-open',
  'probe-fallen',
] as const;
export type FaultKind = (typeof faultKinds)[number];

/** One fault on one engine, and the load at which it meets it. */
export type Fault = {
  readonly kind: FaultKind;
  readonly engine: Engine;
  readonly load: Load;
  readonly throttle: number;
  /** How long the load is held before the fault, s. */
  readonly settleS: number;
  /** How long it is watched, s. */
  readonly watchS: number;
  /** Flow left, kelvin or ramp length; what the number means is the kind's. */
  readonly size: number;
};

const often: readonly FaultKind[] = [
  'full-loss',
  'full-loss',
  'full-loss',
  'full-loss',
  'impeller',
  'strainer',
  'strainer',
];
const seldom: readonly FaultKind[] = [
  'sea-step',
  'overload',
  'injector',
  'probe-open',
  'exhaust-open',
  'probe-fallen',
];

export function drawFault(random: Random): Fault {
  const pick = <T>(from: readonly T[]): T => from[Math.floor(random.next() * from.length)] as T;
  const kind = random.chance(0.85) ? pick(often) : pick(seldom);
  const loads: readonly Load[] =
    kind === 'full-loss' ? ['start', 'idle', 'cruise', 'wide-open'] : ['cruise', 'cruise', 'wide-open'];
  const load = pick(loads);
  const [low, high] = throttleOf[load];
  const watch: Readonly<Record<FaultKind, number>> = {
    'full-loss': load === 'idle' || load === 'start' ? 1500 : 400,
    impeller: 600,
    strainer: random.between(1200, 3600),
    'sea-step': 300,
    overload: 300,
    injector: 300,
    'probe-open': 120,
    'exhaust-open': 240,
    'probe-fallen': 300,
  };
  const sizes: Readonly<Record<FaultKind, number>> = {
    // A seacock that was not opened lets nothing through.
    'full-loss': load === 'start' ? 0 : random.between(0, 0.1),
    impeller: random.between(0.3, 0.7),
    // Nearly shut: a vane pump draws its water through a fifth of a clean strainer.
    strainer: 0.02,
    'sea-step': random.between(2, 8) * (random.chance(0.5) ? 1 : -1),
    overload: random.between(1.08, 1.3),
    injector: random.between(10, 40),
    'probe-open': 0,
    'exhaust-open': 0,
    'probe-fallen': 0,
  };
  return {
    kind,
    engine: random.chance(0.5) ? 'port' : 'starboard',
    load,
    throttle: random.between(low, high),
    settleS: load === 'start' ? 0 : random.between(60, 400),
    watchS: watch[kind],
    size: sizes[kind],
  };
}

/** Lets the fault act; call at every pass with the seconds since it began. */
export function applyFault(fault: Fault, boat: DrawnBoat, sinceS: number, dtS: number): void {
  const { ailments } = boat.plant.engines[fault.engine];
  switch (fault.kind) {
    case 'full-loss':
      ailments.intake = fault.size;
      return;
    case 'impeller':
      ailments.impeller = fault.size;
      return;
    case 'strainer':
      ailments.strainer = 1 - (1 - fault.size) * Math.min(1, sinceS / fault.watchS);
      return;
    case 'sea-step':
      if (sinceS < 60) boat.plant.seaC += (fault.size * dtS) / 60;
      return;
    case 'overload':
      ailments.load = fault.size;
      return;
    case 'injector':
      ailments.injectorK = fault.size;
      return;
    case 'probe-open':
      breakProbe(boat, `${fault.engine}-elbow`);
      return;
    case 'exhaust-open':
      breakProbe(boat, `${fault.engine}-exhaust`);
      return;
    case 'probe-fallen':
      ailments.fallenProbe = true;
  }
}

function breakProbe(boat: DrawnBoat, id: string): void {
  const channel = boat.channels.get(id);
  if (channel) channel.broken = 'open';
}

/** Puts everything right again, for the boat's next voyage. */
export function mendBoat(boat: DrawnBoat): void {
  for (const channel of boat.channels.values()) channel.broken = undefined;
}
