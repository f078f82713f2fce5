import type { Condition } from '../alerts/condition.js';
import type { Detector } from './detector.js';

/** Sounds once and stays in sight until it is put right; it never grows into an alarm. */
export const noticeConditions: Detector = ({ notices }) =>
  notices.map(
    ({ about, message, actions }): Condition => ({
      situation: 'set-up',
      subject: about,
      rule: `set-up-${about.split(':')[0]}`,
      priority: 'warning',
      message,
      actions,
      evidence: { values: {}, thresholds: {} },
    }),
  );
