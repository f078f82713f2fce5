import type { PlanAnswers } from './answers.js';
import { buzzerShuntOhms } from './buzzer-shunt.js';
import { plannedElement } from './element.js';
import { hasLowPins, missingPulseFor } from './missing-pulse.js';
import { line, type Part } from './part.js';
import type { Plan, PlannedProbe } from './plan.js';
import { gaugeParts } from './pressure/planned-gauges.js';
import { feedDiode } from './sketch/missing-pulse.js';
import { microfarads, ohmsText } from './sketch/value-text.js';

type Ordered = Pick<Plan, 'answers' | 'probes' | 'gauges' | 'allocation'>;

const boardNames = { uno: 'Uno-class', nano: 'Nano-class', mega: 'Mega-class' } as const;

const some = (quantity: number, part: string, use: string): Part[] =>
  quantity === 0 ? [] : [line(quantity, part, use)];

const probeParts = ({ answers, probes }: Ordered): Part[] => {
  const { exhaustGas } = answers;
  const element = plannedElement(answers);
  const ntc = probes.filter((probe) => probe.plan.kind === 'ntc');
  const gas = probes.filter((probe) => probe.plan.kind === 'thermocouple');
  const resistors = new Map<number, string[]>();
  for (const { plan, id } of ntc)
    if (plan.kind === 'ntc')
      resistors.set(plan.choice.resistorOhms, [...(resistors.get(plan.choice.resistorOhms) ?? []), id]);
  const onPins = probes.filter((probe) => probe.connection.over !== 'mcp9601').length;
  const adsChips = new Set(
    probes.flatMap(({ connection }) => (connection.over === 'ads1115' ? [connection.address] : [])),
  ).size;
  const rings = ntc.filter((probe) => probe.mounting === 'strap-on');
  const wells = ntc.filter((probe) => probe.mounting === 'well');
  const amplifiers = adsChips + gas.length;
  const namesOf = (those: readonly PlannedProbe[]) => those.map((p) => p.id).join(', ');
  return [
    line(ntc.length, element.toBuy, namesOf(ntc)),
    ...[...resistors].map(([ohms, ids]) =>
      line(ids.length, `resistor ${ohmsText(ohms)} 0.1 %, 25 ppm/K`, `divider of ${ids.join(', ')}`),
    ),
    ...some(
      rings.length,
      'ring terminal for the bolt that is there, or stainless hose clamp',
      namesOf(rings),
    ),
    ...some(
      wells.length,
      'well, stainless 316L, closed end, for the boss that is there; or a ring as above',
      namesOf(wells),
    ),
    line(1, 'pack of two-part epoxy, insulating, rated 150 °C or more', `potting the ${element.name}s`),
    line(
      ntc.length,
      'set of PTFE or glass-silk sleeving and PTFE or PVDF heat-shrink, 150 °C or more (200 °C is better)',
      `legs and joints of each ${element.name}`,
    ),
    line(onPins, 'resistor 1 kΩ', 'in series with each analogue input'),
    line(onPins, 'capacitor 100 nF X7R', 'from each analogue input to ground'),
    ...some(
      adsChips,
      'ADS1115 converter board, I2C, address jumper',
      'what is read over I2C beside the board',
    ),
    ...some(
      gas.length,
      `type K thermocouple, ${exhaustGas.wireClass} tolerance, insulated junction, 3 mm stainless sheath`,
      namesOf(gas),
    ),
    ...some(
      gas.length,
      exhaustGas.amplifier === 'ad8495'
        ? 'AD8495 amplifier board'
        : 'MCP9601 amplifier board, I2C, address jumper',
      namesOf(gas),
    ),
    ...some(
      gas.length,
      'compression fitting, stainless, 3 mm bore, thread of the boss that is there, with the sealing its maker names',
      namesOf(gas),
    ),
    ...some(gas.length, 'pair of type K connectors, polarised', namesOf(gas)),
    ...some(
      Math.ceil(gas.length * answers.cable.metres),
      'metres of type K extension cable, shielded, 105 °C insulation',
      'from each thermocouple to its amplifier, past dry exhaust only in glass-silk or mineral insulation',
    ),
    ...some(amplifiers, 'capacitor 100 nF X7R', 'at the supply of each amplifier or converter board'),
  ];
};

/** As the drawing names them. */
const feedDiodes = (feeds: number): string =>
  Array.from({ length: feeds }, (_, index) => feedDiode(index)).join(', ');

const alarmParts = ({ answers }: Ordered): Part[] => {
  const { parts } = missingPulseFor(answers.supplyVolts);
  const mosfet = hasLowPins(answers.supplyVolts)
    ? 'N-channel MOSFET, logic level (on-resistance stated at 2.5 V), 60 V; Q2 may be 2N7000 class'
    : 'N-channel MOSFET 2N7000 class, 60 V';
  return [
    line(
      1,
      '12 V buzzer with its own oscillator, 85 dB or more, below 100 mA',
      'BZ1, heard over the engines',
    ),
    line(1, '12 V LED indicator, 20 mA', 'lamp at the helm'),
    line(3, mosfet, 'Q2, Q3, Q4 (lamp)'),
    line(1, 'NPN transistor, small signal, current gain above 110', 'Q1'),
    line(2, 'diode 1N4148 class', 'D1, D2'),
    line(1, 'zener diode 15 V 0.5 W', 'D3'),
    line(
      1,
      'transient suppressor, unidirectional, 18 V stand-off, 1.5 kW class (1.5KE22A or like)',
      'D8, from the 12 V to ground of the missing-pulse circuit: load dump',
    ),
    line(
      answers.engines.length + 2,
      'diode 1N4007 class',
      `${feedDiodes(answers.engines.length + 1)} from the feeds, D6 across the buzzer`,
    ),
    line(1, `capacitor ${microfarads(parts.pumpFarads)} 25 V, low leakage`, 'C1'),
    line(1, `capacitor ${microfarads(parts.holdFarads)} 25 V, low leakage`, 'C2'),
    line(1, 'capacitor 100 µF 35 V', 'C3'),
    line(4, `resistor ${ohmsText(parts.baseOhms)}`, 'R2, R5, gates of Q3 and lamp'),
    line(1, `resistor ${ohmsText(parts.bleedOhms)}`, 'R3'),
    line(1, `resistor ${ohmsText(parts.gateOhms)}`, 'R4'),
    line(3, 'resistor 1 kΩ', 'R1, gates of Q3 and lamp'),
    line(1, 'stripboard with screw terminals', 'missing-pulse circuit and lamp'),
  ];
};

const runningInputParts = (inputs: number, source: PlanAnswers['runningSource']): Part[] => [
  ...some(inputs, 'opto-coupler, 4 pins, transistor output', 'running inputs'),
  ...some(inputs, 'resistor 2.2 kΩ 0.5 W', 'running inputs'),
  ...some(inputs, 'resistor 10 kΩ', 'running inputs'),
  ...some(inputs, 'diode 1N4148 class', 'running inputs'),
  ...some(inputs, 'in-line fuse 0.25 A', 'running inputs, at the source'),
  ...some(
    source === 'alternator-w' ? inputs : 0,
    'capacitor 4.7 µF 25 V',
    'running inputs, from the pin to 0 V, plus to the pin: W gives pulses',
  ),
  ...some(
    source === 'oil-pressure' ? inputs : 0,
    'oil-pressure switch of its own, two terminals, closed by pressure',
    'running inputs; fitted by someone who may open the oil gallery',
  ),
];

const enclosureParts = ({ answers, probes, allocation }: Ordered): Part[] => [
  line(1, `${boardNames[answers.board]} board with USB`, 'runs the stock firmware'),
  ...runningInputParts(Object.keys(allocation.digital.running).length, answers.runningSource),
  ...(allocation.referencePin === undefined
    ? []
    : [line(2, 'resistor 10 kΩ 1 %', `reference pin ${allocation.referencePin}`)]),
  ...(allocation.buzzerCurrentPin === undefined || answers.buzzerMilliamps === undefined
    ? []
    : [
        line(
          1,
          `resistor ${buzzerShuntOhms(answers.buzzerMilliamps)} Ω 5 %, 0.25 W`,
          'shunt of the buzzer, from the sources of Q2 and Q3 to 0 V',
        ),
        line(1, 'resistor 10 kΩ', `from the shunt to pin ${allocation.buzzerCurrentPin}`),
        line(
          1,
          'capacitor 1 µF, 16 V, film or X7R',
          `from pin ${allocation.buzzerCurrentPin} to 0 V, at the board`,
        ),
      ]),
  line(
    answers.engines.length + 1,
    'in-line fuse 1 A',
    'feeds of the missing-pulse circuit, its buzzer and the lamp: each ignition and the kit switch',
  ),
  line(1, 'in-line fuse 3 A', 'supply of the computer'),
  line(
    1,
    'switch or breaker, 5 A, labelled with the kit’s name',
    'kit switch: computer and the last feed of the buzzer together',
  ),
  line(
    1,
    '12 V to 5 V converter, isolated, one and a half times what the computer’s maker asks for (many ask for 15 W; so 25 W)',
    'computer and board',
  ),
  line(1, 'enclosure IP65 with cable glands', 'outside the hottest part of the engine room'),
  line(
    Math.ceil(probes.filter((p) => p.plan.kind === 'ntc').length * answers.cable.metres),
    `metres of tinned, shielded twisted pair ${Number(answers.cable.squareMm.toFixed(2))} mm², 105 °C insulation`,
    `${plannedElement(answers).name}s`,
  ),
  line(
    1,
    'length of tinned, shielded cable, 4 conductors',
    'heartbeat, buzzer, lamp and 0 V, from the board to the missing-pulse circuit',
  ),
  line(
    1,
    'length of tinned two-core cable in a sheath, 1 mm² (AWG 16) or more, 105 °C insulation',
    '12 V: ignition feeds, running inputs, converter',
  ),
  line(
    1,
    'assortment of crimp terminals, ferrules and adhesive heat-shrink',
    'every joint; the crimping tool made for them',
  ),
  line(1, 'USB cable, 2 m or less, for data', 'computer to board'),
  line(1, 'computer that runs Node, the newest with long-term support', 'see hardware-notes/computer.md'),
  line(
    1,
    'marine carbon-monoxide alarm with its own battery for each sleeping space, where there is none',
    'before any work on an exhaust',
  ),
];

/** Everything to buy, by value and standard. */
export const partsFor = (ordered: Ordered): readonly Part[] => [
  ...probeParts(ordered),
  ...gaugeParts(ordered.gauges, ordered.answers.cable.metres),
  ...alarmParts(ordered),
  ...enclosureParts(ordered),
];
