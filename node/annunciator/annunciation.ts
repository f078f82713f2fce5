import type { Alert } from '../alerts/alert.js';
import { buzzerSilentRule } from '../alerts/buzzer-verdict.js';
import { isBlindness, isSetUp } from '../alerts/condition.js';
import type { MonotonicMs } from '../time/clock.js';

/** Spans of on and off in turn, beginning with on, in milliseconds; after the last the pattern starts again. */
export type Pattern = readonly number[];

/** What the buzzer and the lamp should be doing. Data: no pin is touched here. */
export type Annunciation = {
  /** Absent means quiet. */
  readonly buzzer?: Pattern;
  /**
   * An engine runs unseen, or the buzzer takes no current, and that alert is not acknowledged: the missing-pulse circuit is to sound
   * too. Absent means it beats.
   */
  readonly heartStops?: true;
  /** Absent means dark. */
  readonly lamp?: Pattern;
  /** The alerts that sound. When one joins them the pattern starts again, so that a new alert sounds at once. */
  readonly soundingIds: readonly string[];
};

/**
 * An alarm never stops for longer than a quarter of a second; a warning is three short pips, then a long pause:
 * the two cannot be taken for each other (IMO MSC.302(87) 7.3.4). A caution makes no sound.
 * All spans are multiples of 200 ms, so that a pass every 100 ms plays them without dropping one.
 */
export const alarmSound: Pattern = [600, 200];
export const warningSound: Pattern = [200, 200, 200, 200, 200, 14_000];
/** One long and one short, once: something that was acknowledged still needs attention. */
export const reminderSound: Pattern = [1000, 200, 200, 60_000];
const reminderMs = 1_400;
/** Three pips of a warning: what is only not set up sounds this long and no longer. */
const soundsOnceMs = 1_500;

/** Flashing: something waits to be acknowledged. Steady: known, and still so. Faster for an alarm. */
export const fastFlash: Pattern = [200, 200];
export const slowFlash: Pattern = [600, 600];
export const steady: Pattern = [1000];

/** What a person at the board should hear and see for these alerts at this moment. */
export const annunciation = (alerts: readonly Alert[], nowMs: MonotonicMs): Annunciation => {
  const seen = alerts.filter((alert) => !isShelved(alert, nowMs));
  const sounding = seen.filter(
    (alert) =>
      alert.state === 'unacknowledged' &&
      alert.priority !== 'caution' &&
      !(isSetUp(alert) && nowMs - alert.sinceMs > soundsOnceMs) &&
      (alert.silencedUntilMs ?? 0) <= nowMs,
  );
  const buzzer =
    soundOf(sounding) ?? (alerts.some((alert) => isReminded(alert, nowMs)) ? reminderSound : undefined);
  const lamp = lampOf(seen);
  return {
    ...(buzzer && { buzzer }),
    ...(lamp && { lamp }),
    ...(sounding.some((alert) => isBlindness(alert) || isSilentBuzzer(alert)) && { heartStops: true }),
    soundingIds: sounding.map((alert) => `${alert.id}:${alert.priority}`).sort(),
  };
};

/** What a test plays: exactly what an alarm plays, or it would prove nothing. */
export const testAnnunciation: Annunciation = { buzzer: alarmSound, lamp: fastFlash, soundingIds: ['test'] };

/** Whether a reminder of an acknowledged alert is due; counted from the acknowledgement. */
const isReminded = ({ state, remindEveryS, acknowledgedAtMs }: Alert, nowMs: MonotonicMs): boolean => {
  if (state !== 'acknowledged' || remindEveryS === undefined || acknowledgedAtMs === undefined) return false;
  const sinceMs = nowMs - acknowledgedAtMs;
  return sinceMs >= remindEveryS * 1000 && sinceMs % (remindEveryS * 1000) < reminderMs;
};

const soundOf = (sounding: readonly Alert[]): Pattern | undefined => {
  if (sounding.some((alert) => alert.priority === 'alarm')) return alarmSound;
  return sounding.length > 0 ? warningSound : undefined;
};

/** An alert that ended before it was acknowledged keeps flashing (MSC.302(87) 7.3.7). */
const lampOf = (seen: readonly Alert[]): Pattern | undefined => {
  const waiting = seen.filter(
    (alert) =>
      alert.state === 'unacknowledged' ||
      (alert.state === 'rectified' && alert.acknowledgedAtMs === undefined),
  );
  if (waiting.some((alert) => alert.priority === 'alarm')) return fastFlash;
  if (waiting.length > 0) return slowFlash;
  return seen.some((alert) => alert.state === 'acknowledged') ? steady : undefined;
};

/** An alert that the buzzer cannot be trusted to bring; the missing-pulse circuit has another transistor. */
const isSilentBuzzer = ({ rule }: Alert): boolean => rule === buzzerSilentRule;

const isShelved = (alert: Alert, nowMs: MonotonicMs): boolean => (alert.shelvedUntilMs ?? 0) > nowMs;

/** Whether a pattern is on, `sinceStartMs` after it began. A pattern of one span is always on. */
export const isOn = (pattern: Pattern | undefined, sinceStartMs: number): boolean => {
  if (!pattern) return false;
  const [only, ...others] = pattern;
  if (only === undefined) return false;
  if (others.length === 0) return true;
  let left = sinceStartMs % pattern.reduce((sum, span) => sum + span, 0);
  for (const [index, span] of pattern.entries()) {
    if (left < span) return index % 2 === 0;
    left -= span;
  }
  return false;
};
