import type { ChannelFault } from './channel.js';
import type { Condition } from './condition.js';
import type { ProbeSettings } from './settings.js';

const told: Readonly<Record<ChannelFault, string>> = {
  open: 'reads as an open circuit',
  short: 'reads as a short circuit',
  'short-to-supply': 'reads as shorted to the supply',
  'out-of-range': 'is outside what its sensor can read',
  'no-answer': 'has an amplifier that does not answer',
  implausible: 'reads what cannot be true',
  stale: 'has sent nothing',
  'board-away': 'has sent nothing because the board is away',
  jump: 'jumped further than a real temperature can',
};

/** A probe that cannot be believed, told once it has been so long enough. */
export function probeFault(probe: ProbeSettings, fault: ChannelFault, forS: number): Condition {
  return {
    situation: 'probe-fault',
    subject: probe.id,
    rule: `probe-${fault}`,
    priority: 'caution',
    probe: probe.id,
    ...(probe.engine !== 'both' && { engine: probe.engine }),
    message: `${probe.name} ${told[fault]}.`,
    evidence: { values: { forS }, thresholds: {} },
  };
}

export function boardLost(forS: number): Condition {
  return {
    situation: 'board',
    subject: 'board',
    rule: 'board-lost',
    priority: 'warning',
    message: 'The board is lost: no probe is read and nothing is guarded.',
    evidence: { values: { forS }, thresholds: {} },
  };
}
