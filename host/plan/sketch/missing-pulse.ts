import type { MissingPulseParts } from '../missing-pulse.js';
import { box, joint, lines, overhang, type Point, sketch, text, wire } from './svg.js';
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
    resistor([540, rail], gate, { name: 'R4', value: ohmsText(parts.gateOhms) }),
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
  joint([640, rail]),
  diode([640, 190], [640, rail], { name: 'D6', side: 'left' }),
  wire([640, 190], [690, 190]),
  wire([690, 190], [890, 190], [890, 330]),
  nMosfet([880, 360], 'Q3'),
  wire([890, 390], [890, 420]),
  ground([890, 420]),
  wire([850, 360], [820, 360]),
  joint([820, 360]),
  resistor([820, 360], [820, 420], { value: '100 kΩ', side: 'left' }),
  ground([820, 420]),
  resistor([820, 300], [820, 360], { value: '1 kΩ', side: 'left' }),
  wire([820, 300], [820, 284]),
  pin([820, 280], 'buzzer pin'),
];

/** A fuse and a diode for each feed, so that none feeds another; C3 and the surge suppressor D8 behind them all. */
const feeds = (rail: number, names: readonly string[]): string[] => [
  ...names.flatMap((name, index) => {
    // Five feeds must end above the diode pump.
    const y = rail + Math.min(50, 160 / Math.max(1, names.length - 1)) * index;
    return [
      pin([150, y], name),
      wire([154, y], [160, y]),
      fuse([160, y], [230, y], { value: `F${index + 1} 1 A` }),
      diode([230, y], [310, y], { value: `${feedDiode(index)} 1N4007` }),
      wire([310, y], [340, y], [340, rail]),
    ];
  }),
  joint([340, rail]),
  wire([310, rail], [690, rail]),
  joint([375, rail]),
  capacitor([375, rail], [375, rail + 70], { name: 'C3', value: '100 µF 35 V', polarised: true }),
  ground([375, rail + 70]),
  joint([485, rail]),
  diode([485, rail + 70], [485, rail], { name: 'D8', value: '18 V', zener: true }),
  ground([485, rail + 70]),
];

/** D4 and D5 for the first two feeds, D7 and then D9 upwards for the others: D6 and D8 have other work. */
export const feedDiode = (index: number): string => ['D4', 'D5', 'D7'][index] ?? `D${index + 6}`;

/** Where the ground of the board and the minus of the battery meet, and nowhere else. */
const grounds = (floor: number): string[] => [
  pin([120, floor], '0 V of board'),
  wire([124, floor], [170, floor]),
  joint([170, floor]),
  pin([120, floor + 34], 'battery minus'),
  wire([124, floor + 34], [142, floor + 34], [142, floor]),
  joint([142, floor]),
];

/**
 * The dead-man circuit: sounds when the heartbeat pin stops changing, whatever level it stopped at. It is fed from every
 * engine's ignition, and last from the kit switch.
 */
export const missingPulseSketch = (parts: MissingPulseParts, feedNames: readonly string[]): string => {
  const rail = 90;
  return sketch(
    {
      width: 950,
      leftOf: overhang(feedNames, 140, { bold: true }),
      height: 480,
      title: 'Missing-pulse circuit: the buzzer sounds when the beat stops',
      description:
        'The heartbeat pin feeds a diode pump through R1 and C1: D1 from ground, D2 to the holding capacitor C2; R5 empties C1 if the pin stays high. C2 keeps Q1 conducting through R2, with R3 from base to ground. ' +
        'Q1 holds the gate of Q2 down against R4 from the supply; D3 keeps that gate below 15 V. When pulses stop C2 runs down, Q1 lets go, Q2 sounds the buzzer. ' +
        'Q3, driven by the buzzer pin, sounds the same buzzer; D6 lies across it, cathode to the supply. The supply comes from each engine’s ignition and from the kit switch on the house battery, each through a fuse and a diode of its own; the kit switch keeps it alive when a key is turned off while a diesel runs on. D8 takes surges. 12 V boats only. ' +
        'Here the ground of the board and the minus of the battery meet.',
    },
    [...feeds(rail, feedNames), ...pump(parts), ...switchOver(parts, rail), ...buzzer(rail), ...grounds(420)],
  );
};
