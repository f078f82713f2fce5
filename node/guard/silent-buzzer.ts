import { type BuzzerVerdict, buzzerSilentRule } from '../alerts/buzzer-verdict.js';
import type { Detector } from './detector.js';

const messages: Readonly<Record<Exclude<BuzzerVerdict, 'well'>, string>> = {
  'silent-pin': 'The buzzer is ordered on and takes no current: an alarm is not heard at the helm.',
  'silent-circuit':
    'The heartbeat stopped and the buzzer took no current: a dead computer is not heard at the helm.',
  'always-on': 'The buzzer takes current though nothing orders it on.',
};

const actions: Readonly<Record<Exclude<BuzzerVerdict, 'well'>, readonly string[]>> = {
  'silent-pin': [
    'Do not trust the buzzer: keep an eye on lamp and page.',
    'Check kit switch, fuses, buzzer.',
    'Check Q3 and the buzzer pin’s wire.',
    'Then "Sound the buzzer" on Set-up: this ends when its current is seen.',
  ],
  'silent-circuit': [
    'Do not trust the buzzer: keep an eye on lamp and page.',
    'Check kit switch, fuses, buzzer.',
    'Check Q1, Q2 and their resistors.',
    'Then pull the USB cable, engine stopped: it must sound within 5 s.',
  ],
  'always-on': [
    'Does it sound? Then silence is lost, not safety.',
    'Check Q2, Q3 for a short.',
    'Check the shunt and its wire.',
  ],
};

/** What the current that is read back says of the buzzer, where the kit has that input. */
export const silentBuzzer: Detector = ({ buzzer }) =>
  buzzer === undefined || buzzer === 'well'
    ? []
    : [
        {
          situation: 'board',
          // Two faults and two alerts: who knows of a buzzer that sounds too much does not know of one that is silent.
          subject: buzzer === 'always-on' ? 'buzzer-on' : 'buzzer',
          rule: buzzer === 'always-on' ? 'buzzer-always-on' : buzzerSilentRule,
          priority: 'warning',
          message: messages[buzzer],
          actions: actions[buzzer],
          evidence: { values: {}, thresholds: {} },
          asksFor: [buzzer],
          variant: buzzer,
        },
      ];
