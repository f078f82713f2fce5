import type { Condition } from '../alerts/condition.js';
import { allEngines } from '../kit/engines.js';
import { numbersOf } from '../reading/quantity.js';
import type { ProbeId, Reading } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import { slopeCPerS } from './channel-state.js';
import { believedC } from './channel-trust.js';
import type { Detector } from './detector.js';
import { type EngineStates, engineStateOf } from './engine.js';
import { found } from './found.js';
import { firstProbeState, type ProbeState } from './probe-state.js';
import { stepPump } from './pump-detector.js';
import { type PumpFinding, pumpAtRest } from './pump-state.js';
import { isStuckUp, mostZeroKpa } from './pump-zero.js';
import { arrangementOf, engineOfProbe, type GuardSettings, type ProbeSettings } from './settings.js';

type Probes = Readonly<Record<ProbeId, ProbeState>>;

/** Steps the pump of every pressure probe that gave a reading in this pass. */
export function stepPumps(
  probes: Probes,
  engines: EngineStates,
  input: { readonly readings: readonly Reading[]; readonly nowMs: MonotonicMs },
  settings: GuardSettings,
): Probes {
  const pumps = settings.probes.filter(({ place }) => place === 'raw-water-pressure');
  if (pumps.length === 0) return probes;
  const after: Record<ProbeId, ProbeState> = { ...probes };
  for (const probe of pumps) {
    const state = after[probe.id] ?? firstProbeState;
    const now = latest(probe.id, input.readings);
    if (!now) continue;
    const before = state.pump ?? { state: pumpAtRest, atMs: now.atMs };
    const gas = arrangementOf(settings).exhaust.get(probe.engine);
    const gasChannel = gas && after[gas.id]?.channel;
    const { run, exhaust } = engineStateOf(engines, probe.engine);
    after[probe.id] = {
      ...state,
      pump: {
        atMs: now.atMs,
        state: stepPump(before.state, {
          readingKpa: now.value,
          phase: run.phase,
          exhaust,
          gasC: gasChannel && believedC(gasChannel, input.nowMs),
          gasSlopeCPerS: gasChannel ? slopeCPerS(gasChannel) : 0,
          // Never over a gap.
          dtS: Math.min(2, Math.max(0, now.atMs - before.atMs) / 1000),
        }),
      },
    };
  }
  return after;
}

const latest = (
  probe: ProbeId,
  readings: readonly Reading[],
): { readonly value: number; readonly atMs: MonotonicMs } | undefined => {
  const reading = readings.findLast((one) => one.probe === probe && one.result.kind === 'measured');
  return reading?.result.kind === 'measured'
    ? { value: numbersOf(reading.result).value, atMs: reading.readAtMs }
    : undefined;
};

const description: Readonly<Record<PumpFinding['rule'], string>> = {
  'no-raw-water': 'gives no pressure while the engine runs',
  'raw-water-lost': 'has lost most of its pressure',
  'raw-water-low': 'gives much less pressure than usual at this load',
  'raw-water-in-gulps':
    'has given no water for a quarter of the time of some minutes, a few seconds each time',
};

/** Engines whose raw-water pump gives less than it should, and pressure probes that show what cannot be. */
export const lostPressure: Detector = ({ settings, probes, away }) =>
  away
    ? []
    : found(settings.probes, (probe): readonly Condition[] => {
        const { pump } = probes[probe.id] ?? firstProbeState;
        if (!pump || probe.engine === allEngines) return [];
        if (pump.state.found) return [pressureCondition(probe, pump.state.found)];
        return isStuckUp(pump.state) ? [stuckUp(probe, pump.state.kpa ?? 0)] : [];
      });

const pressureCondition = (
  probe: ProbeSettings,
  { rule, priority, kpa, expectedKpa }: PumpFinding,
): Condition => ({
  situation: 'cooling',
  subject: probe.engine,
  rule,
  priority,
  probe: probe.id,
  ...engineOfProbe(probe),
  message: `The pump at ${probe.name} ${description[rule]}: ${kpa.toFixed(1)} kPa, usually ${expectedKpa.toFixed(0)}.`,
  evidence: { values: { pressureKpa: kpa }, thresholds: { usualKpa: expectedKpa } },
});

const stuckUp = (probe: ProbeSettings, kpa: number): Condition => ({
  situation: 'probe-fault',
  subject: probe.id,
  rule: 'probe-pressure-at-rest',
  priority: 'caution',
  probe: probe.id,
  ...engineOfProbe(probe),
  message: `${probe.name} shows ${kpa.toFixed(1)} kPa with its engine stopped: its port is blocked, or it has drifted.`,
  evidence: { values: { pressureKpa: kpa }, thresholds: { pressureKpa: mostZeroKpa } },
});
