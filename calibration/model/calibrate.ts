import type { CalibrationPoint } from '../bath/point.js';
import { ThermometryError } from '../errors.js';
import type { Sensor } from '../reading/sensor.js';
import { bathEffects, probeAtPointC } from './bath-effects.js';
import type { Calibration } from './calibration.js';
import { chiSquareTail } from './chi-square.js';
import { correctedModel } from './correction.js';
import type { InputChain } from './input-chain.js';
import { platinumKnowledge } from './platinum-effects.js';
import { posteriorOf } from './posterior.js';
import type { ProbeKnowledge } from './probe-knowledge.js';
import { thermistorKnowledge } from './thermistor-effects.js';
import { thermocoupleKnowledge } from './thermocouple-effects.js';

/**
 * What the points of a session make of a probe: the maker's law with its tolerances is where it starts, each bath an
 * observation with its own errors, and the result what is known after them. Another bath never makes it worse. Throws
 * without points, and when sensor and input do not belong together.
 */
export function calibrate(
  sensor: Sensor,
  chain: InputChain,
  points: readonly CalibrationPoint[],
): Calibration {
  if (points.length === 0)
    throw new ThermometryError('too-few-points', 'No settled point. A calibration needs at least one.');
  const known = knowledgeOf(sensor, chain, points);
  const { validC, stepC } = known;
  const at = points.map((point) => probeAtPointC(point));
  const deviations = points.map(({ signal }, i) => known.deviationC(signal, at[i] as number));
  const posterior = posteriorOf(
    [...bathEffects(points), ...known.effects],
    points.map((_, i) => ({ temperatureC: at[i] as number, deviationC: deviations[i] as number })),
  );
  const model = correctedModel((t) => known.indicatedC(t, posterior.meanC(t)), validC, stepC);
  return {
    model: { ...model, ...(known.law && { law: known.law }) },
    residualsC: at.map((t, i) => (deviations[i] as number) - posterior.meanC(t)),
    linesAt: (t) => [...posterior.lines(t), ...known.inUse(t)],
    covarianceC2: posterior.covarianceC2,
    validC,
    leftOut: posterior.leftOut,
    plausibility: chiSquareTail(posterior.chiSquare, points.length),
  };
}

function knowledgeOf(sensor: Sensor, chain: InputChain, points: readonly CalibrationPoint[]): ProbeKnowledge {
  if (sensor.kind === 'thermistor' && chain.kind === 'divider')
    return thermistorKnowledge(sensor.law, chain, points);
  if (sensor.kind === 'platinum' && chain.kind === 'divider') return platinumKnowledge(sensor, chain, points);
  if ((sensor.kind === 'thermocouple' || sensor.kind === 'ad8495') && chain.kind === 'amplifier')
    return thermocoupleKnowledge(sensor, chain, points);
  throw new ThermometryError('not-physical', `A ${sensor.kind} is not read through a ${chain.kind}.`);
}
