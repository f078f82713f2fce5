import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { benchKitYaml } from '../../node/bench/index.js';
import { NodeRig } from './node-on-emulated-time.js';

const raiseAtC = 60;
const holdS = 2;
const steps = 6;

/** The sea probe gets an alarm limit: no other rule than the hard limit judges it, so that nothing sounds earlier. */
const kitYaml = benchKitYaml.replace(
  /(id: sea-water\n(?: {4}.*\n)*?)( {4}channel:)/,
  `$1    limits: { alarm: { raiseAtC: ${raiseAtC}, clearAtC: 55, holdS: ${holdS} } }\n$2`,
);

describe('from the sensing element to the buzzer pin, on emulated time', () => {
  const rig = new NodeRig({ kitYaml });

  beforeAll(async () => {
    await rig.start();
    await rig.untilBeating();
    await rig.board.advance(2);
  });
  afterAll(() => rig.close());

  it(`a step above a hard limit sounds no earlier than its hold and no later than 300 ms after it, ${steps} times of ${steps}`, async () => {
    expect(kitYaml).toContain(`raiseAtC: ${raiseAtC}`);
    const element = rig.boat.elements.get('sea-water');
    const delaysS: number[] = [];
    for (let i = 0; i < steps; i++) {
      // Not in step with the sampling.
      await rig.board.advance(0.3 + 0.037 * i);
      // A bath that pulls the element up within 0.3 s and then holds it.
      element?.dip(() => ((element?.temperatureC ?? 0) < 70 ? 600 : 70));
      await rig.until(() => (element?.temperatureC ?? 0) >= raiseAtC, 2);
      const fromS = rig.board.emulation.nowS;
      await rig.until(() => rig.boat.pins.buzzer, 10);
      delaysS.push(rig.board.emulation.nowS - fromS);
      element?.dip(() => ((element?.temperatureC ?? 0) > 20 ? -400 : 20));
      await rig.until(() => !rig.boat.pins.buzzer, 10);
      await rig.board.advance(1);
    }
    expect(Math.max(...delaysS)).toBeLessThanOrEqual(holdS + 0.3);
    expect(Math.min(...delaysS)).toBeGreaterThanOrEqual(holdS - 0.05);
  });
});
