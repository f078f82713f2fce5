import { expect, it } from 'vitest';
import { answersSchema } from '../../../host/plan/answers.js';
import { kitFile } from '../../../host/plan/kit-file.js';
import { makePlan } from '../../../host/plan/make-plan.js';
import { planText } from '../../../host/plan/plan-text.js';
import { sketchesFor } from '../../../host/plan/sketches.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { parseKit } from '../../../node/kit/load-kit.js';

const twin = { plan: 1, boat: 'Invented', engines: [{ id: 'port' }, { id: 'starboard' }] };
const plan = makePlan(answersSchema.parse({ ...twin, rawWaterPressure: true }));

it('gives each engine a pressure probe on a pin of its own, in a kit that the node loads', () => {
  const kit = parseKit(kitFile(plan), 'kit.yaml');
  const pumps = kit.probes.filter(({ place }) => place === 'raw-water-pressure');
  expect(pumps.map(({ id, engine }) => [id, engine])).toEqual([
    ['port-pump', 'port'],
    ['starboard-pump', 'starboard'],
  ]);
  expect(kit.probes).toHaveLength(plan.probes.length + 2);
});

it('one step of ten bits over 200 kPa and 4 of 5 V is 0.244 kPa', () => {
  // By hand: 200 / (0.8 x 1024) = 0.2441.
  expect(plan.gauges[0]?.stepKpa).toBeCloseTo(0.2441, 4);
});

it('names the seacock at the step, the parts, and draws the circuit', () => {
  const text = planText(plan, { degrees: degreesIn('celsius'), width: 130 });
  expect(text).toMatch(/CLOSE THE SEACOCK before the hose is cut/);
  expect(text).toMatch(/2 {2}pressure transducer 0 to 200 kPa gauge/);
  expect([...sketchesFor(plan).keys()]).toEqual(
    expect.arrayContaining(['port-pump.svg', 'starboard-pump.svg']),
  );
});

it.each([
  ['below 80 °C', {}],
  ['until the board is switched off', { exhaustGas: { amplifier: 'none' } }],
])(
  'without running inputs it says that the kit sounds as blind after every stop, %s, and what to do',
  (until, more) => {
    const blind = makePlan(
      answersSchema.parse({ ...twin, rawWaterPressure: true, runningInputs: false, ...more }),
    ).remarks.filter((remark) => remark.includes('pressure probe'));
    expect(blind).toHaveLength(1);
    expect(blind[0]).toContain('sounds as blind at idle and after every stop');
    expect(blind[0]).toContain(until);
    expect(blind[0]).toContain('Write runningInputs: true');
    expect(plan.remarks.join()).not.toContain('sounds as blind');
  },
);

it('leaves a plan without it as it was', () => {
  const without = makePlan(answersSchema.parse(twin));
  expect(without.gauges).toEqual([]);
  expect(kitFile(without)).not.toContain('pressure');
});
