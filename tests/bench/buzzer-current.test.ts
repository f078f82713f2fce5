import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { benchBoats } from '../../node/bench/bench-kit.js';
import { NodeRig } from './node-on-emulated-time.js';

vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

/** The whole node against stock firmware, with a shunt of 10 ohm and a buzzer of 25 mA on A2. */
let rig: NodeRig;
beforeAll(async () => {
  const kitYaml = `${benchBoats.single}buzzerCurrent: { pin: A2, shuntOhms: 10, ratedMilliamps: 25 }\n`;
  rig = new NodeRig({ kitYaml, engines: ['main'] });
  await rig.start();
  await rig.untilBeating();
});
afterAll(() => rig.close());
const alerts = () => {
  const standing = rig.node?.health().standing as { warning: number; alarm: number } | undefined;
  return standing ? standing.warning + standing.alarm : Number.NaN;
};

test('a buzzer that never stops, and one whose Q2 does not chirp as an engine starts, are warnings that end with the fault', async () => {
  // A running heartbeat and a quiet buzzer: nothing to report.
  await rig.board.advance(7);
  expect(alerts()).toBe(0);
  rig.boat.buzzer.fault = 'always-on';
  await rig.until(() => alerts() > 0, 3);
  rig.boat.buzzer.fault = undefined;
  await rig.until(() => alerts() === 0, 3);

  rig.plant.setThrottle('main', 0);
  await rig.board.advance(2);
  rig.boat.buzzer.fault = 'circuit';
  rig.plant.setThrottle('main', 0.3);
  await rig.until(() => alerts() > 0, 9);
  await rig.until(() => `${rig.node?.health().heartHeldBy}`.includes('a silent buzzer'), 3);
  rig.boat.buzzer.fault = undefined;
  // The alert itself holds the heartbeat, so that the circuit sounds: its current is seen, and the alert ends.
  await rig.until(() => alerts() === 0, 10);
  await rig.untilBeating();
});
