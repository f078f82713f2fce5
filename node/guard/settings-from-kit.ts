import { kindOf } from '../channels/table.js';
import type { Limit } from '../kit/limit.js';
import type { Kit } from '../kit/schema.js';
import { armedBaseline, type BaselineFile, unarmedBounds } from './baseline-file.js';
import type { LatchLimit } from './latch.js';
import type { GuardSettings, ProbeSettings } from './settings.js';
import { standardWarningC } from './soak-allowance.js';
import { learnedTuning } from './tuning.js';

/**
 * Limits a wet elbow has even when the kit names none, so that it is guarded from the first minute.
 * 93 C (200 F) is where an elbow without water is within moments, and below the 100 to 121 C that wet-exhaust
 * hose is rated for; common practice, no source.
 */
export const elbowLimits = {
  warning: { raiseAt: standardWarningC, clearAt: 76, holdS: 2 },
  alarm: { raiseAt: 93, clearAt: 85, holdS: 1 },
} as const;

/** What the guard needs of a checked kit, and of what commissioning learned where there is such a file. */
export function settingsFromKit(kit: Kit, learned?: BaselineFile): GuardSettings {
  return {
    probes: kit.probes.map((probe): ProbeSettings => {
      const standard = probe.place === 'wet-elbow' ? elbowLimits : undefined;
      const alarm = probe.limits.alarm ? latchLimit(probe.limits.alarm) : standard?.alarm;
      const warning = probe.limits.warning ? latchLimit(probe.limits.warning) : standard?.warning;
      const { circuit } = kindOf(probe.channel);
      const baseline =
        learned && probe.place === 'wet-elbow'
          ? armedBaseline(learned, probe.id, learnedTuning.leadS[probe.mounting])
          : undefined;
      const bounds = learned && !baseline ? unarmedBounds(learned, probe.id) : undefined;
      return {
        id: probe.id,
        name: probe.name,
        engine: probe.engine,
        place: probe.place,
        mounting: probe.mounting,
        ...(circuit !== 'other' && { input: circuit }),
        ...(alarm && { alarm }),
        ...(warning && { warning }),
        ...(baseline && { baseline }),
        ...(bounds && { bounds }),
      };
    }),
    engines: kit.engines.map(({ id, name, kind, runningInput }) => ({
      id,
      name,
      kind,
      runningInput: runningInput !== undefined,
      alike: kit.alike
        .filter((group) => group.includes(id))
        .flatMap((group) => group.filter((e) => e !== id)),
    })),
    escalateAfterS: 120,
    tuning: learnedTuning,
    reminderEveryS: kit.reminderMinutes * 60,
    proofEveryS: kit.proofHours * 3600,
  };
}

const latchLimit = (limit: Limit): LatchLimit => ({
  raiseAt: limit.raiseAtC,
  clearAt: limit.clearAtC,
  holdS: limit.holdS,
});
