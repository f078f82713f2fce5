import { expect, it } from 'vitest';
import { resumeGuard, startGuard } from '../../../node/guard/guard-state.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { run } from './one-elbow.js';

it('the state of an earlier version, with other names in it, is taken over as today’s would be: its alarm stays', () => {
  const { state, alerts } = run(startGuard(asMonotonicMs(0)), 0, 20, () => 95);
  expect(alerts).toHaveLength(1);
  const sign = { sign: 'no-answer', values: {}, thresholds: {} };
  const written = JSON.parse(JSON.stringify(state));
  written.dividers.reportedK = 4;
  written.probes['port-elbow'].elbow.attachment.finding = sign;
  const earlier = JSON.parse(JSON.stringify(written));
  earlier.dividers = { ...earlier.dividers, toldK: 4, reportedK: undefined };
  const { active: standing, trend: slow, attachment, ...rest } = earlier.probes['port-elbow'].elbow;
  const { finding: told, ...seat } = attachment;
  earlier.probes['port-elbow'].elbow = { ...rest, standing, slow, seat: { ...seat, told } };
  for (const entry of earlier.entries) {
    entry.told = entry.reported;
    delete entry.reported;
  }
  const resumed = (from: unknown) =>
    resumeGuard(JSON.parse(JSON.stringify(from)), asMonotonicMs(60_000), 5_000);
  expect(resumed(earlier)).toEqual(resumed(written));
  const { state: after, forgotten } = resumed(earlier);
  expect(forgotten).toBeUndefined();
  expect(after.entries).toHaveLength(1);
  expect(after.dividers.reportedK).toBe(4);
  expect(after.probes['port-elbow']?.elbow?.attachment.finding).toEqual(sign);
});
