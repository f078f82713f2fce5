import type { CalibrationPoint } from '../bath/point.js';
import { ThermometryError } from '../errors.js';
import { junctionEmfs, typeOf } from '../reading/junctions.js';
import type { Sensor } from '../reading/sensor.js';
import { thermocoupleCurve } from '../thermocouple/curve.js';
import { toleranceLimitC } from '../thermocouple/tolerance.js';
import { trembleOf } from './converter-effects.js';
import { oneError, remembered, smoothError } from './effect.js';
import type { AmplifierChain } from './input-chain.js';
import type { ProbeKnowledge } from './probe-knowledge.js';

/** Temperature of a board in a running engine room, where the slope of the cold junction is taken. */
const boardC = 40;
/** The deviation of a wire stays alike over this many degrees. A judgement; tolerance classes say nothing of it. */
const alikeC = 300;
/** Limit of what base-metal wire gains in use between 200 and 600 C, as a share of what it measures (ORNL-TM-4862: up to 1.7 %; makers: 0.5 to 1.1 %). */
const inUseShare = 0.01;
/** Uneven wire in a moved gradient: 0.09 C at 150 C from bends alone (Pavlasek and others, 2015). */
const unevenShare = 0.0006;
const noble: readonly string[] = ['B', 'R', 'S'];

/** What is known of a thermocouple and its amplifier before its points, and what changes in use. */
export function thermocoupleKnowledge(
  sensor: Extract<Sensor, { kind: 'thermocouple' | 'ad8495' }>,
  chain: AmplifierChain,
  points: readonly CalibrationPoint[],
): ProbeKnowledge {
  const type = typeOf(sensor);
  expectBathsToDiffer(sensor);
  const curve = thermocoupleCurve(type);
  const { offsetMicrovolts = 6, gainShare = 0.002 } = chain;
  const slope = remembered((t) => curve.seebeckMicrovoltsPerC(t));
  const betweenC = remembered((t) => (curve.emfMicrovolts(t) - curve.emfMicrovolts(boardC)) / slope(t));
  const coldC = (t: number): number => (chain.coldJunctionLimitC * slope(boardC)) / slope(t);
  const tremble = trembleOf(
    points,
    (t) => chain.stepMicrovolts / slope(t),
    (t) => slope(t) / (sensor.kind === 'ad8495' ? 1e6 / 122.4 : 1),
    chain.conversionsPerReading,
  );
  // The hot end against a board that may be 15 C warmer or colder than taken.
  const limit = (t: number): number => Math.abs(t - boardC) + 15;
  return {
    // Room at both ends for what wire and amplifier may be off (R and S begin at -50 C).
    validC: {
      from: Math.max(-50, curve.minC + 25),
      to: Math.min(1100, Math.floor((curve.maxC - 50) / 25) * 25),
    },
    stepC: 25,
    effects: [
      smoothError(
        `wire (${chain.wire})`,
        ({ temperatureC: t }) => toleranceLimitC(type, chain.wire, t) / Math.sqrt(3),
        (a, b) => alike(Math.abs(a.temperatureC - b.temperatureC) / alikeC),
      ),
      oneError('amplifier offset', ({ temperatureC: t }) => offsetMicrovolts / slope(t)),
      oneError('amplifier gain', ({ temperatureC: t }) => gainShare * betweenC(t)),
      oneError('cold junction', ({ temperatureC: t }) => coldC(t) / Math.sqrt(3)),
      ...tremble.atPoints,
    ],
    deviationC: (signal, atC) => {
      const { betweenMicrovolts, coldMicrovolts } = junctionEmfs(sensor, signal);
      return (betweenMicrovolts + coldMicrovolts - curve.emfMicrovolts(atC)) / slope(atC);
    },
    indicatedC: (trueC, deviationC) =>
      curve.temperatureC(curve.emfMicrovolts(trueC) + slope(trueC) * deviationC),
    inUse: (t) => [
      ...tremble.inUse(chain.stepMicrovolts / slope(t)),
      rectangular('cold junction off the table', coldC(t)),
      rectangular('amplifier gain in use', chain.gainLimit * Math.abs(betweenC(t))),
      ...(noble.includes(type)
        ? []
        : [
            rectangular('wire changed in use', inUseShare * limit(t)),
            {
              source: 'uneven wire',
              distribution: 'normal',
              standardUncertaintyC: unevenShare * limit(t),
            } as const,
          ]),
    ],
  };
}

/** Throws for a sensor that no bath can calibrate. */
export function expectBathsToDiffer(sensor: Sensor, name = 'This probe'): void {
  if (sensor.kind === 'thermocouple' && sensor.type === 'B')
    throw new ThermometryError(
      'not-physical',
      `${name}: type B gives next to no voltage below 250 C, so that neither ice nor boiling water says anything of it. Its readings keep the limits of its class; calibrate the other probes without it.`,
    );
}

const rectangular = (source: string, halfWidthC: number) =>
  ({ source, distribution: 'rectangular', standardUncertaintyC: halfWidthC / Math.sqrt(3) }) as const;

/** Matern's correlation of order 3/2: once differentiable, so that a curve bends as wires do and is no ruler. */
const alike = (distance: number): number => {
  const x = Math.sqrt(3) * distance;
  return (1 + x) * Math.exp(-x);
};
