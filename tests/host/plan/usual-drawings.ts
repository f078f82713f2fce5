import { parse } from 'yaml';
import { answersSchema } from '../../../host/plan/answers.js';
import { buzzerShuntOhms } from '../../../host/plan/buzzer-shunt.js';
import { exampleAnswers } from '../../../host/plan/example-answers.js';
import { makePlan } from '../../../host/plan/make-plan.js';
import { buzzerShuntSketch } from '../../../host/plan/sketch/buzzer-shunt.js';
import { ntcDividerSketch } from '../../../host/plan/sketch/ntc-divider.js';
import { lampSketch, runningInputSketch } from '../../../host/plan/sketch/outputs-and-inputs.js';
import { placementSketch } from '../../../host/plan/sketch/placement.js';
import { pressureTransducerSketch } from '../../../host/plan/sketch/pressure-transducer.js';
import { ringProbeSketch } from '../../../host/plan/sketch/ring-probe.js';
import { ad8495Sketch, mcp960xSketch } from '../../../host/plan/sketch/thermocouple-amplifier.js';
import { sketchesFor } from '../../../host/plan/sketches.js';

/** The drawings of hardware-notes/, by file name: the usual kit, with the values the plan gives a 10 kohm thermistor. */
export const usualDrawings = (): Readonly<Record<string, string>> => ({
  ...sharedWithThePlan(),
  'ntc-divider.svg': ntcDividerSketch({
    title: 'A thermistor on the board’s own converter',
    pin: 'A0',
    resistorOhms: 4700,
    thermistor: '10 kΩ at 25 °C',
    thermistorSide: 'low',
    reference: '5 V',
  }),
  'mcp9601.svg': mcp960xSketch({
    title: 'A thermocouple on an MCP9601 over I2C',
    address: 0x67,
    thermocouple: 'K',
  }),
  'ad8495.svg': ad8495Sketch({ title: 'A thermocouple on an AD8495', pin: 'A3' }),
  'running-input.svg': runningInputSketch({
    title: 'Running input of one engine',
    pin: 2,
    source: 'oil-pressure',
  }),
  'lamp.svg': lampSketch({ title: 'Lamp at the helm', pin: 9 }),
  'buzzer-shunt.svg': buzzerShuntSketch({
    title: 'The buzzer’s current, read back',
    pin: 'A2',
    shuntOhms: buzzerShuntOhms(25),
  }),
  'placement.svg': placementSketch(),
  'pressure-transducer.svg': pressureTransducerSketch({
    title: 'A pressure transducer on the board’s own converter',
    pin: 'A2',
  }),
  'ring-probe.svg': ringProbeSketch(),
});

const sharedNames = [
  'board-pins.svg',
  'whole-kit.svg',
  'stripboard.svg',
  'transistor-legs.svg',
  'missing-pulse.svg',
  'power.svg',
] as const;

/** Drawings that hang on the whole plan, from the example's answers. */
const sharedWithThePlan = () => {
  const plan = sketchesFor(makePlan(answersSchema.parse(parse(exampleAnswers))));
  return Object.fromEntries(sharedNames.map((name) => [name, plan.get(name) ?? '']));
};
