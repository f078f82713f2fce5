import type { MissingPulseParts } from '../missing-pulse.js';
import { box, joint, lines, type Point, sketch, text, wire } from './svg.js';
import { capacitor, diode, fuse, ground, nMosfet, npn, pin, resistor } from './symbols.js';
import { microfarads, ohmsText } from './value-text.js';

const pump = (parts: MissingPulseParts): string[] => {
  const [y, floor] = [300, 420];
  return [
    pin([120, y], 'heartbeat pin'),
    wire([124, y], [130, y]),
    resistor([130, y], [190, y], { name: 'R1', value: '1 kΩ' }),
    capacitor([190, y], [250, y], { name: 'C1', value: microfarads(parts.pumpFarads), polarised: true }),
    joint([250, y]),
    resistor([180, 350], [250, 350], {}),
    lines([215, 376], ['R5', ohmsText(parts.drainOhms)], { anchor: 'middle' }),
    joint([250, 350]),
    wire([250, y], [250, 350]),
    wire([180, 350], [170, 350], [170, floor]),
    ground([170, floor]),
    diode([250, floor], [250, 350], { name: 'D1', value: '1N4148' }),
    ground([250, floor]),
    diode([250, y], [350, y], { name: 'D2', value: '1N4148' }),
    joint([350, y]),
    capacitor([350, y], [350, floor], { name: 'C2', value: microfarads(parts.holdFarads), polarised: true }),
    ground([350, floor]),
    resistor([350, y], [450, y], { name: 'R2', value: ohmsText(parts.baseOhms) }),
    joint([450, y]),
    resistor([450, y], [450, floor], { name: 'R3', value: ohmsText(parts.bleedOhms) }),
    ground([450, floor]),
    wire([450, y], [500, y]),
  ];
};

const switchOver = (parts: MissingPulseParts, rail: number): string[] => {
  const gate: Point = [540, 240];
  return [
    npn([530, 300], 'Q1'),
    wire([540, 330], [540, 420]),
    ground([540, 420]),
    wire([540, 270], gate),
    joint(gate),
    resistor([540, rail], gate, { name: 'R4', value: ohmsText(parts.gateOhms), side: 'left' }),
    joint([540, rail]),
    wire(gate, [650, 240]),
    joint([610, 240]),
    diode([610, 420], [610, 240], { name: 'D3', value: '15 V', zener: true }),
    ground([610, 420]),
    nMosfet([680, 240], 'Q2'),
    wire([690, 270], [690, 420]),
    ground([690, 420]),
  ];
};

const buzzer = (rail: number): string[] => [
  wire([690, rail], [690, 110]),
  joint([690, rail]),
  box([660, 110], 60, 40, '#f3f6f8', 4),
  text([690, 135], 'BZ1', { anchor: 'middle', bold: true }),
  lines([730, 126], ['12 V buzzer with', 'its own oscillator'], { size: 12 }),
  wire([690, 150], [690, 210]),
  joint([690, 190]),
  wire([690, 190], [850, 190], [850, 330]),
  nMosfet([840, 360], 'Q3'),
  wire([850, 390], [850, 420]),
  ground([850, 420]),
  wire([810, 360], [780, 360]),
  joint([780, 360]),
  resistor([780, 360], [780, 420], { value: '100 kΩ', side: 'left' }),
  ground([780, 420]),
  resistor([780, 300], [780, 360], { value: '1 kΩ', side: 'left' }),
  wire([780, 300], [780, 284]),
  pin([780, 280], 'buzzer pin'),
];

const power = (rail: number): string[] => [
  pin([120, rail], 'switched 12 V'),
  wire([124, rail], [140, rail]),
  fuse([140, rail], [220, rail], { name: 'F1', value: '1 A' }),
  diode([220, rail], [310, rail], { name: 'D4', value: '1N4007' }),
  joint([350, rail]),
  wire([310, rail], [690, rail]),
  capacitor([350, rail], [350, 160], { name: 'C3', value: '100 µF 35 V', polarised: true }),
  ground([350, 160]),
];

/** The dead-man circuit: sounds when the heartbeat pin stops changing, whatever level it stopped at. */
export const missingPulseSketch = (parts: MissingPulseParts): string => {
  const rail = 90;
  return sketch(
    {
      width: 920,
      height: 480,
      title: 'Missing-pulse circuit: the buzzer sounds when the beat stops',
      description:
        'The heartbeat pin feeds a diode pump through R1 and C1: D1 from ground, D2 to the holding capacitor C2; R5 empties C1 if the pin stays high. C2 keeps Q1 conducting through R2, with R3 from base to ground. ' +
        'Q1 holds the gate of Q2 down against R4 from the supply. When pulses stop C2 runs down, Q1 lets go, Q2 sounds the buzzer. ' +
        'Q3, driven by the buzzer pin, sounds the same buzzer. The supply comes through fuse F1 and diode D4.',
    },
    [...power(rail), ...pump(parts), ...switchOver(parts, rail), ...buzzer(rail)],
  );
};
