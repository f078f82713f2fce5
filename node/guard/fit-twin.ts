import { type Bin, binOf, type ElbowBaseline, expectedRiseK, ledRiseK, type TwinApart } from './baseline.js';
import { isSteady } from './exhaust-memory.js';
import type { NormalSecond } from './fit-baseline.js';
import { quantile } from './huber-regression.js';
import { isDrivenAlike } from './unsteady-threshold.js';

/** What was seen of one elbow, and what was fitted to it. */
export type Fitted = { readonly seconds: readonly NormalSecond[]; readonly baseline: ElbowBaseline };

/** Seconds of either kind of moment below which their spread means nothing. */
const leastSeconds = 600;
/** The same of one kind of gas that moves. */
const leastMomentS = 60;

/**
 * How far this elbow's residual gets above the other's while both engines are driven alike. Load, sea, weather and what the model does
 * not know move both; a pump that fails moves one. Undefined where they were not driven alike for ten minutes of each kind.
 */
export function twinApartOf(own: Fitted, other: Fitted, leadS: number): TwinApart | undefined {
  const residualOf = ({ baseline }: Fitted, { riseK, slopeCPerS, exhaust, seaC }: NormalSecond) =>
    ledRiseK(riseK, slopeCPerS, leadS, exhaust) - expectedRiseK(baseline, exhaust, seaC);
  const others = new Map(other.seconds.map((second) => [second.atMs, second]));
  const apart = new Map<Bin | 'level', number[]>();
  const reversed = new Map<Bin, number[]>();
  for (const second of own.seconds) {
    const beside = others.get(second.atMs);
    if (!beside || !isDrivenAlike(second.exhaust, { ...besideAtRest, exhaust: beside.exhaust })) continue;
    const { exhaust, warmS } = second;
    const bin = binOf(exhaust, warmS);
    const kind = bin === 'steady' && isSteady(exhaust) ? 'level' : bin;
    const [ownK, otherK] = [residualOf(own, second), residualOf(other, beside)];
    const residuals = apart.get(kind) ?? [];
    residuals.push(ownK - Math.max(0, otherK));
    apart.set(kind, residuals);
    if (kind === 'level') continue;
    const reverse = reversed.get(kind) ?? [];
    reverse.push(otherK - Math.max(0, ownK));
    reversed.set(kind, reverse);
  }
  const level = apart.get('level') ?? [];
  apart.delete('level');
  // A thermostat that opens before its twin's is rare, is seen in its own kind of moment only, and which is first is chance.
  const seen = [...apart.values(), ...reversed.values()].filter(({ length }) => length >= leastMomentS);
  const movedS = seen.reduce((sum, { length }) => sum + length, 0) / 2;
  if (Math.min(level.length, movedS) < leastSeconds) return undefined;
  return { steadyK: spreadOf(level), movingK: Math.max(...seen.map(spreadOf)) };
}

const spreadOf = (apart: readonly number[]): number => Math.max(0, quantile(apart, 0.998));

const besideAtRest = { meanK: 0, residualK: 0, sinceStartS: 0 };
