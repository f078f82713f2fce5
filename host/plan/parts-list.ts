import type { Allocation } from './allocate.js';
import type { PlanAnswers } from './answers.js';
import type { PlannedProbe } from './make-plan.js';
import { missingPulseParts } from './missing-pulse.js';
import { microfarads, ohmsText } from './sketch/value-text.js';

export type Part = { readonly quantity: number; readonly part: string; readonly use: string };

type Ordered = {
  readonly answers: PlanAnswers;
  readonly probes: readonly PlannedProbe[];
  readonly allocation: Allocation;
};

const boardNames = { uno: 'Uno-class', nano: 'Nano-class', mega: 'Mega-class' } as const;

const probeParts = ({ answers, probes }: Ordered): Part[] => {
  const { thermistor, exhaustGas } = answers;
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
  return [
    {
      quantity: ntc.length,
      part: `NTC thermistor ${ohmsText(thermistor.r25Ohms)} at 25 °C, B25/85 ${thermistor.betaK} K, ${thermistor.r25TolerancePercent} %`,
      use: ntc.map((p) => p.id).join(', '),
    },
    ...[...resistors].map(([ohms, ids]) => ({
      quantity: ids.length,
      part: `resistor ${ohmsText(ohms)} 0.1 %, 25 ppm/K`,
      use: `divider of ${ids.join(', ')}`,
    })),
    { quantity: onPins, part: 'resistor 1 kΩ', use: 'in series with each analogue input' },
    { quantity: onPins, part: 'capacitor 100 nF X7R', use: 'from each analogue input to ground' },
    ...(adsChips === 0
      ? []
      : [{ quantity: adsChips, part: 'ADS1115 converter board, I2C, address jumper', use: 'thermistors' }]),
    ...(gas.length === 0
      ? []
      : [
          {
            quantity: gas.length,
            part: `type K thermocouple, ${exhaustGas.wireClass} tolerance, insulated junction, 3 mm stainless sheath`,
            use: gas.map((p) => p.id).join(', '),
          },
          {
            quantity: gas.length,
            part:
              exhaustGas.amplifier === 'ad8495'
                ? 'AD8495 amplifier board'
                : 'MCP9601 amplifier board, I2C, address jumper',
            use: gas.map((p) => p.id).join(', '),
          },
        ]),
  ];
};

const alarmParts: readonly Part[] = [
  {
    quantity: 1,
    part: '12 V buzzer with its own oscillator, 85 dB or more, below 100 mA',
    use: 'BZ1, heard over the engines',
  },
  { quantity: 1, part: '12 V LED indicator, 20 mA', use: 'lamp at the helm' },
  { quantity: 3, part: 'N-channel MOSFET 2N7000 class, 60 V', use: 'Q2, Q3, lamp' },
  { quantity: 1, part: 'NPN transistor, small signal, current gain above 110', use: 'Q1' },
  { quantity: 2, part: 'diode 1N4148 class', use: 'D1, D2' },
  { quantity: 1, part: 'zener diode 15 V 0.5 W', use: 'D3' },
  { quantity: 2, part: 'diode 1N4007 class', use: 'D4, one from each ignition feed' },
  {
    quantity: 1,
    part: `capacitor ${microfarads(missingPulseParts.pumpFarads)} 25 V, low leakage`,
    use: 'C1',
  },
  {
    quantity: 1,
    part: `capacitor ${microfarads(missingPulseParts.holdFarads)} 25 V, low leakage`,
    use: 'C2',
  },
  { quantity: 1, part: 'capacitor 100 µF 35 V', use: 'C3' },
  {
    quantity: 4,
    part: `resistor ${ohmsText(missingPulseParts.baseOhms)}`,
    use: 'R2, R5, gates of Q3 and lamp',
  },
  { quantity: 1, part: `resistor ${ohmsText(missingPulseParts.bleedOhms)}`, use: 'R3' },
  { quantity: 1, part: `resistor ${ohmsText(missingPulseParts.gateOhms)}`, use: 'R4' },
  { quantity: 3, part: 'resistor 1 kΩ', use: 'R1, gates of Q3 and lamp' },
];

const enclosureParts = ({ answers, probes, allocation }: Ordered): Part[] => [
  { quantity: 1, part: `${boardNames[answers.board]} board with USB`, use: 'runs the stock firmware' },
  ...(allocation.digital.port === undefined
    ? []
    : [
        { quantity: 2, part: 'opto-coupler, 4 pins, transistor output', use: 'running inputs' },
        { quantity: 2, part: 'resistor 2.2 kΩ 0.5 W', use: 'running inputs' },
        { quantity: 2, part: 'resistor 10 kΩ', use: 'running inputs' },
        { quantity: 2, part: 'diode 1N4148 class', use: 'running inputs' },
        { quantity: 2, part: 'in-line fuse 0.25 A', use: 'running inputs, at the source' },
      ]),
  ...(allocation.canaryPin === undefined
    ? []
    : [{ quantity: 2, part: 'resistor 10 kΩ 1 %', use: `canary on ${allocation.canaryPin}` }]),
  { quantity: 2, part: 'in-line fuse 1 A', use: 'ignition feeds of the missing-pulse circuit' },
  { quantity: 1, part: 'in-line fuse 3 A', use: 'supply of the computer' },
  { quantity: 1, part: '12 V to 5 V converter, isolated, 10 W', use: 'computer and board' },
  {
    quantity: 1,
    part: 'enclosure IP65 with cable glands',
    use: 'outside the hottest part of the engine room',
  },
  {
    quantity: Math.ceil(probes.length * answers.cable.metres),
    part: `metres of tinned, shielded twisted pair ${answers.cable.squareMm} mm², 105 °C insulation`,
    use: 'NTC probes and pulses; thermocouples take their own cable',
  },
];

/** Everything to buy, by value and standard. */
export const partsFor = (ordered: Ordered): readonly Part[] => [
  ...probeParts(ordered),
  ...alarmParts,
  ...enclosureParts(ordered),
];
