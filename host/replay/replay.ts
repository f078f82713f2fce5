import {
  type Alert,
  asMonotonicMs,
  type Engine,
  engines,
  type GuardSettings,
  type GuardState,
  guard,
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
  readonly channel: string;
  readonly rectifiedAt?: number;
};

export type Replayed = {
  readonly alerts: readonly ReplayedAlert[];
  readonly runningHours: Readonly<Record<Engine, number>>;
  /** What the hours were counted by. */
  readonly hoursBasis: Readonly<Record<Engine, 'running-input' | 'exhaust-gas' | 'recorded'>>;
  readonly recordedHours: number;
  readonly passes: number;
  readonly setpoints: readonly SetpointRow[];
};

/** After a longer silence the guard starts to listen anew, as it does after a restart. */
const gapMs = 60_000;

/**
 * The very reducer of the node over recorded history. Nobody is there to acknowledge, so no warning rises to alarm
 * for want of it. `onState` sees the state after every pass.
 */
export function replay(
  history: RecordedHistory,
  kitSettings: GuardSettings,
  onState: (state: GuardState) => void = () => {},
): Replayed {
  // A probe the history never had is not a probe at fault.
  const recorded = new Set(history.channels.map(({ channel }) => channel));
  const settings = {
    ...kitSettings,
    probes: kitSettings.probes.filter((probe) => recorded.has(probe.id)),
    escalateAfterS: Number.MAX_SAFE_INTEGER,
  };
  const told = new Map<string, ReplayedAlert>();
  const setpoints = new SetpointTable(settings);
  const hours = { input: { port: 0, starboard: 0 }, gas: { port: 0, starboard: 0 } };
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
      for (const engine of engines) {
        const { run, exhaust } = state.engines[engine];
        if (run.phase === 'running') hours.input[engine] += sinceMs / 3_600_000;
        else if (run.phase === 'unsure' && exhaust && exhaust.a > 110)
          hours.gas[engine] += sinceMs / 3_600_000;
      }
    }
    const before = alerts;
    const result = guard(state, input, settings);
    state = result.state;
    alerts = result.alerts;
    count++;
    if (alerts.length > 0 || before.length > 0) tell(told, alerts);
    setpoints.take(input, state);
    onState(state);
  }
  const hoursBasis = basisOf(history, hours.gas);
  const runningHours = { port: 0, starboard: 0 };
  for (const engine of engines)
    runningHours[engine] = round(
      hoursBasis[engine] === 'running-input'
        ? hours.input[engine]
        : hoursBasis[engine] === 'exhaust-gas'
          ? hours.gas[engine]
          : recordedMs / 3_600_000,
    );
  return {
    alerts: [...told.values()],
    runningHours,
    hoursBasis,
    recordedHours: round(recordedMs / 3_600_000),
    passes: count,
    setpoints: setpoints.rows(runningHours),
  };
}

const round = (hours: number): number => Math.round(hours * 10_000) / 10_000;

function basisOf(
  { runSpans }: RecordedHistory,
  gasHours: Readonly<Record<Engine, number>>,
): Replayed['hoursBasis'] {
  const of = (engine: Engine) =>
    runSpans[engine] ? 'running-input' : gasHours[engine] > 0 ? 'exhaust-gas' : 'recorded';
  return { port: of('port'), starboard: of('starboard') };
}

/** One entry for each raising; it follows the alert to its end, and keeps the gravest priority and its evidence. */
function tell(told: Map<string, ReplayedAlert>, alerts: readonly Alert[]): void {
  for (const alert of alerts) {
    const key = `${alert.id} ${alert.sinceMs}`;
    const known = told.get(key);
    if (known && known.state === alert.state && known.priority === alert.priority) continue;
    const { id, priority, rule, state, message, evidence, actions, rectifiedAtMs } = alert;
    told.set(key, {
      at: alert.sinceMs,
      priority,
      rule,
      channel: alert.probe ?? alert.engine ?? 'board',
      state,
      ...(rectifiedAtMs !== undefined && { rectifiedAt: rectifiedAtMs }),
      id,
      message,
      evidence,
      actions,
    });
  }
}
