import type { Alert } from '../alerts/alert.js';
import type { Entry } from '../alerts/entry.js';
import { lifeStates } from '../alerts/life-cycle.js';
import { asMonotonicMs, type MonotonicMs } from '../time/clock.js';
import { type BoardWatch, firstBoardWatch } from './board-watch.js';
import { type ChannelState, silentChannel } from './channel-state.js';
import { attachmentAtRest } from './detached-probe.js';
import { type Dividers, dividersAtRest } from './dividers.js';
import { withTodaysNames } from './earlier-state.js';
import { elbowAtRest } from './elbow.js';
import type { ElbowPairs } from './elbow-pair.js';
import { type EngineState, type EngineStates, firstEngineState } from './engine.js';
import type { ProbeStates } from './probe-state.js';
import { pumpAfterRestart } from './pump-state.js';
import { firstRunState } from './running.js';
import { firstSight, resumedSight, type Sight } from './sight-state.js';

/** Everything the guard remembers. Plain JSON; hand it to `resumeGuard` after a restart. */
export type GuardState = {
  readonly atMs: MonotonicMs;
  /** Since when channels are expected to send: the start, or the last return of the board. */
  readonly awakeSinceMs: MonotonicMs;
  readonly probes: ProbeStates;
  readonly engines: EngineStates;
  readonly board: BoardWatch;
  readonly dividers: Dividers;
  readonly sight: Sight;
  readonly pairs: ElbowPairs;
  readonly entries: readonly Entry[];
};

export const startGuard = (nowMs: MonotonicMs): GuardState => ({
  atMs: nowMs,
  awakeSinceMs: nowMs,
  probes: {},
  board: firstBoardWatch(nowMs),
  dividers: dividersAtRest,
  engines: {},
  sight: firstSight,
  pairs: {},
  entries: [],
});

/**
 * Brings a remembered state (parsed JSON) into the time of a new start. `awayMs` is how long the node was away, by
 * wall time. Alerts keep their states and ages, limits that were passed stay passed until a reading clears them, and
 * what was learned slowly is kept. Files of 0.2.0 and before are read too. Anything that is not such a state gives a fresh start and says so in `forgotten`.
 */
export function resumeGuard(
  written: unknown,
  nowMs: MonotonicMs,
  awayMs: number,
): { state: GuardState; forgotten?: string } {
  const remembered = withTodaysNames(written);
  if (!isGuardState(remembered))
    return {
      state: startGuard(nowMs),
      forgotten: 'The remembered guard state is damaged; alerts start again.',
    };
  const shift = nowMs - Math.max(0, awayMs) - remembered.atMs;
  const moved = (ms: MonotonicMs): MonotonicMs => asMonotonicMs(ms + shift);
  return {
    state: {
      atMs: nowMs,
      awakeSinceMs: nowMs,
      board: { ...remembered.board, seen: false, awaySinceMs: undefined, lossesAtMs: nowMs },
      dividers: { ...dividersAtRest, reportedK: remembered.dividers?.reportedK },
      probes: Object.fromEntries(
        Object.entries(remembered.probes).map(([id, probe]) => [
          id,
          {
            ...probe,
            channel: remembrance(probe.channel),
            ...(probe.pump && { pump: { state: pumpAfterRestart(probe.pump.state), atMs: nowMs } }),
            elbow: probe.elbow && {
              ...elbowAtRest,
              active: probe.elbow.active,
              trend: probe.elbow.trend,
              attachment: { ...attachmentAtRest, finding: probe.elbow.attachment?.finding },
            },
          },
        ]),
      ),
      engines:
        awayMs > engineForgottenMs
          ? afterAbsence(remembered.engines, awayMs)
          : withAllFields(remembered.engines),
      // What was acknowledged before this start is asked again once it is known to be so still.
      sight: resumedSight(remembered.sight),
      pairs: remembered.pairs ?? {},
      entries: remembered.entries.map((entry) => ({
        ...entry,
        unacknowledgedSinceMs: moved(entry.unacknowledgedSinceMs),
        ...(entry.milderSinceMs !== undefined && { milderSinceMs: moved(entry.milderSinceMs) }),
        reported: { ...entry.reported, atMs: moved(entry.reported.atMs) },
        alert: shiftAlert(entry.alert, moved),
      })),
    },
  };
}

/** What is left to know of engines after a longer absence: when their inputs were last seen to go off. */
const afterAbsence = (before: EngineStates, awayMs: number): EngineStates =>
  ofEach(before, ({ run: { seenOffS } }) => {
    const run = { ...firstRunState, ...(seenOffS !== undefined && { seenOffS: seenOffS + awayMs / 1000 }) };
    return { ...firstEngineState, run };
  });

/** A state of an earlier version lacks what that version did not know. */
const withAllFields = (before: EngineStates): EngineStates =>
  ofEach(before, (engine) => ({
    ...firstEngineState,
    ...engine,
    run: { ...firstRunState, ...engine.run },
  }));

const ofEach = (engines: EngineStates, change: (engine: EngineState) => EngineState): EngineStates =>
  Object.fromEntries(Object.entries(engines).map(([id, engine]) => [id, change(engine)]));

/** After a longer absence nothing is known of how warm the engines are. */
const engineForgottenMs = 120_000;

/** Latches stay as they were, so that an active alert stays active; what the channel last read is too old to go on from. */
const remembrance = ({ lastGoodC }: ChannelState): ChannelState => ({
  ...silentChannel,
  lastGoodC,
});

function shiftAlert(alert: Alert, moved: (ms: MonotonicMs) => MonotonicMs): Alert {
  const { acknowledgedAtMs, silencedUntilMs, shelvedUntilMs, rectifiedAtMs } = alert;
  return {
    ...alert,
    sinceMs: moved(alert.sinceMs),
    ...(acknowledgedAtMs !== undefined && { acknowledgedAtMs: moved(acknowledgedAtMs) }),
    ...(silencedUntilMs !== undefined && { silencedUntilMs: moved(silencedUntilMs) }),
    ...(shelvedUntilMs !== undefined && { shelvedUntilMs: moved(shelvedUntilMs) }),
    ...(rectifiedAtMs !== undefined && { rectifiedAtMs: moved(rectifiedAtMs) }),
  };
}

function isGuardState(value: unknown): value is GuardState {
  if (typeof value !== 'object' || value === null) return false;
  const state = value as Partial<GuardState>;
  return (
    typeof state.atMs === 'number' &&
    typeof state.board?.losses === 'number' &&
    typeof state.board.unsteady === 'boolean' &&
    typeof state.probes === 'object' &&
    state.probes !== null &&
    Object.values(state.probes).every(
      (probe) =>
        probe?.channel !== undefined &&
        probe.alarm &&
        probe.warning &&
        (!probe.elbow ||
          (probe.elbow.active !== undefined &&
            Array.isArray(probe.elbow.trend?.trips) &&
            Array.isArray(probe.elbow.trend.minutes))),
    ) &&
    typeof state.engines === 'object' &&
    state.engines !== null &&
    Object.values(state.engines).every((engine) => typeof engine?.run?.phase === 'string') &&
    Array.isArray(state.entries) &&
    state.entries.every(
      (entry) => typeof entry?.alert?.id === 'string' && lifeStates.includes(entry.life) && entry.reported,
    )
  );
}
