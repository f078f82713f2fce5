import { asMonotonicMs, type MonotonicMs } from '../clock.js';
import type { Engine } from '../kit/schema.js';
import type { Reading } from '../reading.js';
import type { Alert, AlertCommand, CommandAnswer } from './alert.js';
import { type ChannelState, faultOf, silentChannel, slopeCPerS, takeReading } from './channel.js';
import type { Condition } from './condition.js';
import { boardLost, probeFault } from './faults.js';
import { type Latch, openLatch, stepLatch } from './latch.js';
import { type Entry, keepLedger } from './ledger.js';
import type { GuardSettings, ProbeSettings } from './settings.js';

export type GuardInput = {
  /** The time of this pass. Never earlier than the last; the same clock as `readAtMs`. */
  readonly nowMs: MonotonicMs;
  /** What was read since the last pass, in order. */
  readonly readings: readonly Reading[];
  /** Levels of the running inputs, true is running; absent where none is wired or none is known yet. */
  readonly running: { readonly [engine in Engine]?: boolean };
  readonly board: 'connected' | 'connecting' | 'lost';
  readonly commands?: readonly AlertCommand[];
};

type ProbeState = { readonly channel: ChannelState; readonly alarm: Latch; readonly warning: Latch };

/** Everything the guard remembers. Plain JSON; hand it to `resumeGuard` after a restart. */
export type GuardState = {
  readonly atMs: MonotonicMs;
  readonly awakeSinceMs: MonotonicMs;
  /** By probe id, in the order of the settings. */
  readonly probes: Readonly<Record<string, ProbeState>>;
  readonly boardAwaySinceMs?: MonotonicMs;
  readonly entries: readonly Entry[];
};

export type GuardResult = {
  readonly state: GuardState;
  /** Every alert that stands or is still in view. Unchanged alerts keep their identity. */
  readonly alerts: readonly Alert[];
  /** One for each command, in order. */
  readonly answers: readonly CommandAnswer[];
};

/** The board may take this long to answer before its absence is told. */
const boardGraceMs = 3000;

export const startGuard = (nowMs: MonotonicMs): GuardState => ({
  atMs: nowMs,
  awakeSinceMs: nowMs,
  probes: {},
  entries: [],
});

/** One pass: pure, no clock, nothing outside its arguments. Call it at every pass of the node, even without readings. */
export function guard(state: GuardState, input: GuardInput, settings: GuardSettings): GuardResult {
  const { nowMs } = input;
  const dtS = Math.max(0, nowMs - state.atMs) / 1000;
  const away = input.board !== 'connected';
  const boardAwaySinceMs = away ? (state.boardAwaySinceMs ?? nowMs) : undefined;
  const conditions: Condition[] = [];
  if (boardAwaySinceMs !== undefined && nowMs - boardAwaySinceMs >= boardGraceMs)
    conditions.push(boardLost((nowMs - boardAwaySinceMs) / 1000));
  const awakeSinceMs = away ? nowMs : state.awakeSinceMs;

  const probes: Record<string, ProbeState> = {};
  for (const probe of settings.probes) {
    const before = state.probes[probe.id] ?? { channel: silentChannel, alarm: openLatch, warning: openLatch };
    let { channel, alarm, warning } = before;
    for (const reading of input.readings) {
      if (reading.probe !== probe.id) continue;
      channel = takeReading(channel, reading, probe.place);
      if (reading.result.kind !== 'measured') continue;
      if (probe.alarm) alarm = stepLatch(alarm, reading.result.temperatureC, probe.alarm, dtS);
      if (probe.warning) warning = stepLatch(warning, reading.result.temperatureC, probe.warning, dtS);
    }
    probes[probe.id] = { channel, alarm, warning };
    const fault = away ? undefined : faultOf(channel, nowMs, awakeSinceMs);
    if (fault)
      conditions.push(probeFault(probe, fault, (nowMs - (channel.lastGoodAtMs ?? awakeSinceMs)) / 1000));
    if (alarm.on) conditions.push(highLimit(probe, channel, 'alarm'));
    else if (warning.on) conditions.push(highLimit(probe, channel, 'warning'));
  }

  const { entries, answers } = keepLedger(state.entries, conditions, input.commands ?? [], {
    nowMs,
    escalateAfterS: settings.escalateAfterS,
  });
  return {
    state: {
      atMs: nowMs,
      awakeSinceMs,
      probes,
      ...(boardAwaySinceMs !== undefined && { boardAwaySinceMs }),
      entries,
    },
    alerts: entries.map((entry) => entry.alert),
    answers,
  };
}

function highLimit(probe: ProbeSettings, channel: ChannelState, priority: 'alarm' | 'warning'): Condition {
  const limit = probe[priority];
  const temperatureC = channel.lastGoodC ?? 0;
  const raiseAtC = limit?.raiseAt ?? 0;
  return {
    situation: probe.place === 'wet-elbow' ? 'cooling' : 'high-limit',
    subject: probe.place === 'wet-elbow' ? probe.engine : probe.id,
    rule: 'high-limit',
    priority,
    probe: probe.id,
    ...(probe.engine !== 'both' && { engine: probe.engine }),
    message: `${probe.name} is at ${temperatureC.toFixed(1)} C, its ${priority} limit is ${raiseAtC} C.`,
    evidence: {
      values: { temperatureC, riseCPerS: slopeCPerS(channel) },
      thresholds: { raiseAtC, holdS: limit?.holdS ?? 0 },
      roomC: raiseAtC - temperatureC,
    },
  };
}

/**
 * Brings a remembered state (parsed JSON) into the time of a new start. `awayMs` is how long the node was away, by
 * wall time. Alerts keep their states and ages, limits that were passed stay passed until a reading clears them. Anything that is not such a state gives
 * a fresh start and says so in `forgotten`.
 */
export function resumeGuard(
  remembered: unknown,
  nowMs: MonotonicMs,
  awayMs: number,
): { state: GuardState; forgotten?: string } {
  if (!isGuardState(remembered))
    return {
      state: startGuard(nowMs),
      forgotten: 'The remembered guard state is damaged; alerts start anew.',
    };
  const shift = nowMs - Math.max(0, awayMs) - remembered.atMs;
  const moved = <T extends MonotonicMs | undefined>(ms: T): T =>
    ms === undefined ? ms : (asMonotonicMs(ms + shift) as T);
  return {
    state: {
      atMs: nowMs,
      awakeSinceMs: nowMs,
      probes: Object.fromEntries(
        Object.entries(remembered.probes).map(([id, { channel, alarm, warning }]) => [
          id,
          { channel: remembrance(channel), alarm, warning },
        ]),
      ),
      entries: remembered.entries.map((entry) => ({
        ...entry,
        unacknowledgedSinceMs: moved(entry.unacknowledgedSinceMs),
        alert: shiftAlert(entry.alert, moved),
      })),
    },
  };
}

/** Latches stay as they were, so that a standing alert stands on; what the channel heard is too old to go on from. */
const remembrance = ({ lastGoodC }: ChannelState): ChannelState => ({
  ...silentChannel,
  ...(lastGoodC !== undefined && { lastGoodC }),
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
    typeof state.probes === 'object' &&
    state.probes !== null &&
    Array.isArray(state.entries) &&
    state.entries.every((entry) => typeof entry?.alert?.id === 'string' && typeof entry?.life === 'string')
  );
}
