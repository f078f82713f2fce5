import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { benchBoats } from '../../node/bench/bench-kit.js';
import type { BuzzerFault } from '../../node/bench/circuits/buzzer.js';
import { NodeRig } from './node-on-emulated-time.js';

vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

/** The whole node against stock firmware, with a shunt of 10 ohm and a buzzer of 25 mA on A2. */
describe('the current of the buzzer, read back over the board', () => {
  const kitYaml = `${benchBoats.single}buzzerCurrent: { pin: A2, shuntOhms: 10, ratedMilliamps: 25 }\n`;
  let rig: NodeRig;
  beforeAll(async () => {
    rig = new NodeRig({ kitYaml, engines: ['main'] });
    await rig.start();
    await rig.untilBeating();
  });
  afterAll(() => rig.close());
  const standing = () => rig.node?.health().standing as { warning: number; alarm: number };
  const alerts = () => standing().warning + standing().alarm;
  const startAgain = async () => {
    rig.plant.setThrottle('main', 0);
    await rig.board.advance(62);
    rig.plant.setThrottle('main', 0.3);
  };

  test('a whole buzzer: a chirp at the start of an engine and a minute of health raise nothing', async () => {
    await startAgain();
    await rig.untilSounding();
    await rig.board.advance(10);
    expect(alerts()).toBe(0);
  });

  test.each<[BuzzerFault, string]>([
    ['circuit', 'the chirp at the start of an engine does not come'],
    ['dead', 'the chirp at the start of an engine does not come'],
  ])('%s: %s, and that is a warning', async (fault) => {
    rig.boat.buzzer.fault = fault;
    await startAgain();
    await rig.until(() => alerts() > 0, 9);
    expect(rig.node?.health().heartHeldBy).toContain('a silent buzzer');
    rig.boat.buzzer.fault = undefined;
    // The heart is held by the alert itself, so the circuit sounds, its current is seen, and the alert ends.
    await rig.until(() => alerts() === 0, 10);
    await rig.untilBeating();
  });

  test('always-on: a warning within 3 s, which ends with the fault', async () => {
    await rig.board.advance(6);
    rig.boat.buzzer.fault = 'always-on';
    await rig.until(() => alerts() > 0, 3);
    rig.boat.buzzer.fault = undefined;
    await rig.until(() => alerts() === 0, 3);
  });
});
