import type { Engine } from '../kit/engines.js';
import type { MonotonicMs } from '../time/clock.js';
import { slopeCPerS } from './channel-state.js';
import { believedC, isSettling } from './channel-trust.js';
import { type EngineState, type EngineStates, engineStateOf, stepEngine } from './engine.js';
import { firstProbeState, type ProbeStates } from './probe-state.js';
import type { ElbowSign } from './rest.js';
import { arrangementOf, type EngineSettings, type GuardSettings } from './settings.js';
import { elbowLimits } from './settings-from-kit.js';

/** Each engine as a whole, after one pass. */
export function stepEngines(
  before: EngineStates,
  heard: ProbeStates,
  input: { readonly nowMs: MonotonicMs; readonly running: { readonly [engine in Engine]?: boolean } },
  settings: GuardSettings,
  dtS: number,
): EngineStates {
  const { exhaust, learnedMaxC } = arrangementOf(settings);
  const step = ({ id: engine, runningInput }: EngineSettings): EngineState => {
    const gas = exhaust.get(engine);
    return stepEngine(engineStateOf(before, engine), {
      wired: runningInput,
      input: input.running[engine],
      exhaustC: gas && believedC((heard[gas.id] ?? firstProbeState).channel, input.nowMs),
      elbow: hottestElbow(engine, heard, input.nowMs, settings),
      learnedMaxC: learnedMaxC.get(engine),
      dtS,
    });
  };
  return Object.fromEntries(settings.engines.map((engine) => [engine.id, step(engine)]));
}

function hottestElbow(
  engine: Engine,
  heard: ProbeStates,
  nowMs: MonotonicMs,
  settings: GuardSettings,
): ElbowSign | undefined {
  let hottest: ElbowSign | undefined;
  for (const probe of settings.probes) {
    if (probe.place !== 'wet-elbow' || probe.engine !== engine) continue;
    const { channel } = heard[probe.id] ?? firstProbeState;
    const elbowC = believedC(channel, nowMs);
    if (elbowC === undefined || (hottest && hottest.elbowC >= elbowC)) continue;
    hottest = {
      elbowC,
      slopeCPerS: isSettling(channel, nowMs) ? 0 : slopeCPerS(channel),
      limitC: probe.warning?.raiseAt ?? elbowLimits.warning.raiseAt,
    };
  }
  return hottest;
}
