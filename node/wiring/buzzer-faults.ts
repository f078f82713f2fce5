import type { Fault } from '../channels/fault.js';
import { leastMilliamps, mostMilliamps } from '../kit/buzzer-current.js';
import type { Kit } from '../kit/schema.js';

/**
 * What the buzzer's current says while nothing beats, as when the wiring is looked at: the missing-pulse circuit sounds
 * then, so that it must flow.
 */
export const buzzerFaults = ({ buzzerCurrent }: Kit, milliamps: number | undefined): readonly Fault[] => {
  if (!buzzerCurrent || milliamps === undefined) return [];
  if (milliamps > mostMilliamps(buzzerCurrent))
    return [
      {
        fault: 'buzzer-shunt-open',
        message: `The pin of the buzzer's current (${buzzerCurrent.pin}) is at the end of its scale.`,
        check: `Look whether the ${buzzerCurrent.shuntOhms} ohm shunt has come off: without it the buzzer is dead.`,
      },
    ];
  if (milliamps >= leastMilliamps(buzzerCurrent)) return [];
  return [
    {
      fault: 'buzzer-no-current',
      message: `The buzzer takes ${milliamps.toFixed(1)} mA. Nothing beats now, so the missing-pulse circuit should sound it: about ${buzzerCurrent.ratedMilliamps} mA.`,
      check:
        'Is the kit switch or a key on? Then fuses, buzzer, Q2, and the shunt with its wire. If it sounds: shuntOhms, ratedMilliamps and pin in the kit file.',
    },
  ];
};
