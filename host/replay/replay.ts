import {
  type Alert,
  asMonotonicMs,
  type Engine,
  type GuardSettings,
  type GuardState,
  guard,
  isSetUp,
  resumeGuard,
  startGuard,
} from '../../node/index.js';
import type { RecordedHistory } from './history.js';
import { passes } from './passes.js';
import { type SetpointRow, SetpointTable } from './setpoint-table.js';

/** One alert as it would have been. Times are wall milliseconds. */
export type ReplayedAlert = Pick<
  Alert,
  'id' | 'priority' | 'rule' | 'state' | 'message' | 'evidence' | 'actions'
> & {
  readonly at: number;
  /** The probe; the engine or the board where no one probe is meant. */
  readonly about: string;
  readonly rectifiedAt?: number;
};

export type EngineRan = {
  readonly engine: Engine;
  readonly name: string;
  readonly hours: number;
  /** What the hours were counted by. */
  readonly basis: 'running-input' | 'exhaust-gas' | 'recorded';
};

export type Replayed = {
  readonly alerts: readonly ReplayedAlert[];
  readonly running: readonly EngineRan[];
  readonly recordedHours: number;
  readonly passes: number;
  readonly setpoints: readonly SetpointRow[];
};

/** After a longer silence the guard starts again, as after a restart. */
const gapMs = 60_000;

/**
 * The very reducer of the node over recorded history. There is no one to acknowledge, so no warning rises to alarm
 * because they are missing. `onState` sees the state after every pass.
 */
export function replay(
  history: RecordedHistory,
  kitSettings: GuardSettings,
  onState: (state: GuardState) => void = () => {},
): Replayed {
  // A probe the history never had is not a probe at fault.
  const recorded = new Set(history.probes.map(({ probe }) => probe));
  const settings = {
    ...kitSettings,
    probes: kitSettings.probes.filter((probe) => recorded.has(probe.id)),
    escalateAfterS: Number.MAX_SAFE_INTEGER,
  };
  const raised = new Map<string, ReplayedAlert>();
  const setpoints = new SetpointTable(settings);
  const hours = new Map(settings.engines.map(({ id }) => [id, { input: 0, gas: 0 }]));
  let state: GuardState | undefined;
  let alerts: readonly Alert[] = [];
  let recordedMs = 0;
  let count = 0;
  for (const input of passes(history)) {
    const { nowMs } = input;
    if (!state) state = startGuard(nowMs);
    const sinceMs = nowMs - state.atMs;
    if (sinceMs > gapMs) state = resumeGuard(state, asMonotonicMs(nowMs), sinceMs).state;
    else {
      recordedMs += sinceMs;
      for (const [engine, ran] of hours) {
        const { run, exhaust } = state.engines[engine] ?? {};
        if (run?.phase === 'running') ran.input += sinceMs / 3_600_000;
        else if (run?.phase === 'unsure' && exhaust && exhaust.a > 110) ran.gas += sinceMs / 3_600_000;
      }
    }
    const before = alerts;
    const result = guard(state, input, settings);
    state = result.state;
    alerts = result.alerts;
    count++;
    if (alerts.length > 0 || before.length > 0) record(raised, alerts);
    setpoints.take(input, state);
    onState(state);
  }
  const running = settings.engines.map(({ id: engine, name }): EngineRan => {
    const { input, gas } = hours.get(engine) ?? { input: 0, gas: 0 };
    if (history.runSpans[engine]) return { engine, name, hours: round(input), basis: 'running-input' };
    if (gas > 0) return { engine, name, hours: round(gas), basis: 'exhaust-gas' };
    return { engine, name, hours: round(recordedMs / 3_600_000), basis: 'recorded' };
  });
  return {
    alerts: [...raised.values()],
    running,
    recordedHours: round(recordedMs / 3_600_000),
    passes: count,
    setpoints: setpoints.rows(running),
  };
}

const round = (hours: number): number => Math.round(hours * 10_000) / 10_000;

/** One entry for each raising; it follows the alert to its end, and keeps the highest priority and its evidence. */
function record(raised: Map<string, ReplayedAlert>, alerts: readonly Alert[]): void {
  for (const alert of alerts) {
    // What was set up is of the moment, not of history: a probe without history was left out above, not by the owner.
    if (isSetUp(alert)) continue;
    const key = `${alert.id} ${alert.sinceMs}`;
    const known = raised.get(key);
    if (known && known.state === alert.state && known.priority === alert.priority) continue;
    const { id, priority, rule, state, message, evidence, actions, rectifiedAtMs } = alert;
    raised.set(key, {
      at: alert.sinceMs,
      priority,
      rule,
      about: alert.probe ?? alert.engine ?? 'board',
      state,
      ...(rectifiedAtMs !== undefined && { rectifiedAt: rectifiedAtMs }),
      id,
      message,
      evidence,
      actions,
    });
  }
}
