import type { Allocation } from './allocate.js';
import type { PlanAnswers } from './answers.js';
import { buzzerShuntOhms } from './buzzer-shunt.js';
import { plannedElement } from './element.js';
import { hasLowPins, missingPulseFor } from './missing-pulse.js';
import type { Part } from './part.js';
import type { PlannedProbe } from './plan.js';
import { gaugeParts, type PlannedGauge } from './pressure/planned-gauges.js';
import { microfarads, ohmsText } from './sketch/value-text.js';

type Ordered = {
  readonly answers: PlanAnswers;
  readonly probes: readonly PlannedProbe[];
  readonly gauges: readonly PlannedGauge[];
  readonly allocation: Allocation;
};

const boardNames = { uno: 'Uno-class', nano: 'Nano-class', mega: 'Mega-class' } as const;

const some = (quantity: number, part: string, use: string): Part[] =>
  quantity === 0 ? [] : [{ quantity, part, use }];

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
    {
      quantity: ntc.length,
      part: element.toBuy,
      use: namesOf(ntc),
    },
    ...[...resistors].map(([ohms, ids]) => ({
      quantity: ids.length,
      part: `resistor ${ohmsText(ohms)} 0.1 %, 25 ppm/K`,
      use: `divider of ${ids.join(', ')}`,
    })),
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
    {
      quantity: 1,
      part: 'pack of two-part epoxy, insulating, rated 150 °C or more',
      use: `potting the ${element.name}s`,
    },
    {
      quantity: ntc.length,
      part: 'set of PTFE or glass-silk sleeving and PTFE or PVDF heat-shrink, 150 °C or more (200 °C is better)',
      use: `legs and joints of each ${element.name}`,
    },
    { quantity: onPins, part: 'resistor 1 kΩ', use: 'in series with each analogue input' },
    { quantity: onPins, part: 'capacitor 100 nF X7R', use: 'from each analogue input to ground' },
    ...(adsChips === 0
      ? []
      : [
          {
            quantity: adsChips,
            part: 'ADS1115 converter board, I2C, address jumper',
            use: 'what is read over I2C beside the board',
          },
        ]),
    ...(gas.length === 0
      ? []
      : [
          {
            quantity: gas.length,
            part: `type K thermocouple, ${exhaustGas.wireClass} tolerance, insulated junction, 3 mm stainless sheath`,
            use: namesOf(gas),
          },
          {
            quantity: gas.length,
            part:
              exhaustGas.amplifier === 'ad8495'
                ? 'AD8495 amplifier board'
                : 'MCP9601 amplifier board, I2C, address jumper',
            use: namesOf(gas),
          },
          {
            quantity: gas.length,
            part: 'compression fitting, stainless, 3 mm bore, thread of the boss that is there, with the sealing its maker names',
            use: namesOf(gas),
          },
          { quantity: gas.length, part: 'pair of type K connectors, polarised', use: namesOf(gas) },
          {
            quantity: Math.ceil(gas.length * answers.cable.metres),
            part: 'metres of type K extension cable, shielded, 105 °C insulation',
            use: 'from each thermocouple to its amplifier, past dry exhaust only in glass-silk or mineral insulation',
          },
        ]),
    ...some(amplifiers, 'capacitor 100 nF X7R', 'at the supply of each amplifier or converter board'),
  ];
};

/** As the drawing names them: D6 and D8 have other work. */
const feedDiodes = (feeds: number): string => ['D4', 'D5', 'D7', 'D9', 'D10'].slice(0, feeds).join(', ');

const alarmParts = ({ answers }: Ordered): Part[] => {
  const { parts } = missingPulseFor(answers.supplyVolts);
  const mosfet = hasLowPins(answers.supplyVolts)
    ? 'N-channel MOSFET, logic level (on-resistance stated at 2.5 V), 60 V; Q2 may be 2N7000 class'
    : 'N-channel MOSFET 2N7000 class, 60 V';
  return [
    {
      quantity: 1,
      part: '12 V buzzer with its own oscillator, 85 dB or more, below 100 mA',
      use: 'BZ1, heard over the engines',
    },
    { quantity: 1, part: '12 V LED indicator, 20 mA', use: 'lamp at the helm' },
    { quantity: 3, part: mosfet, use: 'Q2, Q3, Q4 (lamp)' },
    { quantity: 1, part: 'NPN transistor, small signal, current gain above 110', use: 'Q1' },
    { quantity: 2, part: 'diode 1N4148 class', use: 'D1, D2' },
    { quantity: 1, part: 'zener diode 15 V 0.5 W', use: 'D3' },
    {
      quantity: 1,
      part: 'transient suppressor, unidirectional, 18 V stand-off, 1.5 kW class (1.5KE22A or like)',
      use: 'D8, from the 12 V to ground of the missing-pulse circuit: load dump',
    },
    {
      quantity: answers.engines.length + 2,
      part: 'diode 1N4007 class',
      use: `${feedDiodes(answers.engines.length + 1)} from the feeds, D6 across the buzzer`,
    },
    {
      quantity: 1,
      part: `capacitor ${microfarads(parts.pumpFarads)} 25 V, low leakage`,
      use: 'C1',
    },
    {
      quantity: 1,
      part: `capacitor ${microfarads(parts.holdFarads)} 25 V, low leakage`,
      use: 'C2',
    },
    { quantity: 1, part: 'capacitor 100 µF 35 V', use: 'C3' },
    {
      quantity: 4,
      part: `resistor ${ohmsText(parts.baseOhms)}`,
      use: 'R2, R5, gates of Q3 and lamp',
    },
    { quantity: 1, part: `resistor ${ohmsText(parts.bleedOhms)}`, use: 'R3' },
    { quantity: 1, part: `resistor ${ohmsText(parts.gateOhms)}`, use: 'R4' },
    { quantity: 3, part: 'resistor 1 kΩ', use: 'R1, gates of Q3 and lamp' },
    { quantity: 1, part: 'stripboard with screw terminals', use: 'missing-pulse circuit and lamp' },
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
  { quantity: 1, part: `${boardNames[answers.board]} board with USB`, use: 'runs the stock firmware' },
  ...runningInputParts(Object.keys(allocation.digital.running).length, answers.runningSource),
  ...(allocation.referencePin === undefined
    ? []
    : [{ quantity: 2, part: 'resistor 10 kΩ 1 %', use: `reference pin ${allocation.referencePin}` }]),
  ...(allocation.buzzerCurrentPin === undefined || answers.buzzerMilliamps === undefined
    ? []
    : [
        {
          quantity: 1,
          part: `resistor ${buzzerShuntOhms(answers.buzzerMilliamps)} Ω 5 %, 0.25 W`,
          use: 'shunt of the buzzer, from the sources of Q2 and Q3 to 0 V',
        },
        { quantity: 1, part: 'resistor 10 kΩ', use: `from the shunt to pin ${allocation.buzzerCurrentPin}` },
        {
          quantity: 1,
          part: 'capacitor 1 µF, 16 V, film or X7R',
          use: `from pin ${allocation.buzzerCurrentPin} to 0 V, at the board`,
        },
      ]),
  {
    quantity: answers.engines.length + 1,
    part: 'in-line fuse 1 A',
    use: 'feeds of the missing-pulse circuit, its buzzer and the lamp: each ignition and the kit switch',
  },
  { quantity: 1, part: 'in-line fuse 3 A', use: 'supply of the computer' },
  {
    quantity: 1,
    part: 'switch or breaker, 5 A, labelled with the kit’s name',
    use: 'kit switch: computer and the last feed of the buzzer together',
  },
  {
    quantity: 1,
    part: '12 V to 5 V converter, isolated, one and a half times what the computer’s maker asks for (many ask for 15 W; so 25 W)',
    use: 'computer and board',
  },
  {
    quantity: 1,
    part: 'enclosure IP65 with cable glands',
    use: 'outside the hottest part of the engine room',
  },
  {
    quantity: Math.ceil(probes.filter((p) => p.plan.kind === 'ntc').length * answers.cable.metres),
    part: `metres of tinned, shielded twisted pair ${Number(answers.cable.squareMm.toFixed(2))} mm², 105 °C insulation`,
    use: `${plannedElement(answers).name}s`,
  },
  {
    quantity: 1,
    part: 'length of tinned, shielded cable, 4 conductors',
    use: 'heartbeat, buzzer, lamp and 0 V, from the board to the missing-pulse circuit',
  },
  {
    quantity: 1,
    part: 'length of tinned two-core cable in a sheath, 1 mm² (AWG 16) or more, 105 °C insulation',
    use: '12 V: ignition feeds, running inputs, converter',
  },
  {
    quantity: 1,
    part: 'assortment of crimp terminals, ferrules and adhesive heat-shrink',
    use: 'every joint; the crimping tool made for them',
  },
  { quantity: 1, part: 'USB cable, 2 m or less, for data', use: 'computer to board' },
  {
    quantity: 1,
    part: 'computer that runs Node, the newest with long-term support',
    use: 'see hardware-notes/computer.md',
  },
  {
    quantity: 1,
    part: 'marine carbon-monoxide alarm with its own battery for each sleeping space, where there is none',
    use: 'before any work on an exhaust',
  },
];

/** Everything to buy, by value and standard. */
export const partsFor = (ordered: Ordered): readonly Part[] => [
  ...probeParts(ordered),
  ...gaugeParts(ordered.gauges, ordered.answers.cable.metres),
  ...alarmParts(ordered),
  ...enclosureParts(ordered),
];
