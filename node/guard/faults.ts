import type { Condition } from '../alerts/condition.js';
import type { MonotonicMs } from '../time/clock.js';
import type { ChannelState } from './channel-state.js';
import type { ChannelFault } from './channel-trust.js';
import type { DetachedFinding } from './detached-probe.js';
import { engineOfProbe, type ProbeSettings } from './settings.js';

const doubts: Readonly<Record<ChannelFault, string>> = {
  open: 'reads as an open circuit',
  short: 'reads as a short circuit',
  'short-to-supply': 'reads as shorted to the supply',
  'out-of-range': 'is outside what its sensor can read',
  'no-answer': 'has an amplifier that does not answer',
  implausible: 'reads what cannot be true',
  stale: 'has sent nothing',
  'board-away': 'has sent nothing because the board is away',
  contradicting: 'has an amplifier whose answers contradict each other, as those of two on one address do',
  reversed: 'reads far below its own terminals: its plus and minus are swapped',
  'cold-junction': 'has an amplifier whose own temperature cannot be true',
  'canary-astray':
    'is doubted with all inputs of the board, because the reference pin is not at its known voltage',
  loose: 'has a loose connection: contact comes and goes',
  jump: 'jumped further than a real temperature can',
  stuck:
    'has said exactly the same while the exhaust of its engine changed: its input hangs, or its tip has come off',
};

/** What is wrong with a probe, as the end of a sentence that begins with its name. */
export const doubtOf = (fault: ChannelFault): string => doubts[fault];

/** A probe that cannot be believed, reported once it has been so long enough. */
export function probeFault(
  probe: ProbeSettings,
  fault: ChannelFault,
  channel: ChannelState,
  nowMs: MonotonicMs,
  awakeSinceMs: MonotonicMs,
): Condition {
  return {
    situation: 'probe-fault',
    subject: probe.id,
    rule: `probe-${fault}`,
    priority: 'caution',
    probe: probe.id,
    ...engineOfProbe(probe),
    message: `${probe.name} ${doubtOf(fault)}.`,
    evidence: { values: valuesOf(fault, channel, nowMs, awakeSinceMs), thresholds: {} },
  };
}

const detachedSigns: Readonly<Record<DetachedFinding['sign'], string>> = {
  'no-answer': 'did not follow when its exhaust gas changed by enough to move it',
  'still-at-start':
    'hardly moved in the two minutes after its engine was started, although its water is far colder or warmer than it',
  'far-too-cold': 'has for minutes been far colder than it was learned to be at this exhaust gas',
};

/** A probe that measures well, but not its elbow. Its reading may be true of the air, so that it is reported and still judged. */
export const detachedProbe = (
  probe: ProbeSettings,
  { sign, values, thresholds }: DetachedFinding,
): Condition => ({
  situation: 'probe-fault',
  subject: probe.id,
  rule: 'probe-fallen',
  priority: 'caution',
  probe: probe.id,
  ...engineOfProbe(probe),
  message: `${probe.name} ${detachedSigns[sign]}: it seems to hang in the air.`,
  evidence: { values, thresholds },
});

function valuesOf(
  fault: ChannelFault,
  { unchanged, lastGoodAtMs }: ChannelState,
  nowMs: MonotonicMs,
  awakeSinceMs: MonotonicMs,
): Readonly<Record<string, number>> {
  if (fault !== 'stuck' || !unchanged) return { forS: (nowMs - (lastGoodAtMs ?? awakeSinceMs)) / 1000 };
  const { sinceMs, lowC, highC } = unchanged;
  return {
    forS: (nowMs - sinceMs) / 1000,
    ...(lowC !== undefined && highC !== undefined && { otherMovedK: highC - lowC }),
  };
}
