import { box, joint, note, overhang, type Point, shape, sketch, text, wire } from './svg.js';
import { block, diode, fuse, ground, nMosfet, pin, resistor, supply } from './symbols.js';

/**
 * Where a running input gets its 12 V from. The first three show that the engine turns; the ignition says only that the
 * key is on, and goes off while a diesel with a mechanical stop runs on.
 */
export const runningSources = ['oil-pressure', 'alternator-d-plus', 'alternator-w', 'ignition'] as const;
export type RunningSource = (typeof runningSources)[number];

const sourceWords: Readonly<Record<RunningSource, readonly [terminal: string, means: string]>> = {
  'oil-pressure': [
    'oil switch, 12 V',
    'Low means oil pressure: the engine turns. A switch of its own, closed by pressure.',
  ],
  'alternator-d-plus': ['alternator D+', 'Low means the alternator charges: the engine turns.'],
  'alternator-w': ['alternator W', 'W pulses while the engine turns: add 4.7 µF from the pin to 0 V.'],
  ignition: ['ignition +12 V', 'Low means the key is on, and no more than that.'],
};

/** One running input: 12 V that is there while the engine turns lights an opto-coupler, whose transistor pulls the pin low. */
export const runningInputSketch = (d: {
  readonly title: string;
  readonly pin: number;
  readonly source: RunningSource;
}): string => {
  const [terminal, means] = sourceWords[d.source];
  const [left, right] = [380, 520];
  return sketch(
    {
      width: 760,
      height: 330,
      title: d.title,
      description:
        `12 V from ${terminal} goes through a 0.25 A fuse and 2.2 kΩ to the light-emitting diode of an opto-coupler, with a 1N4148 across it against reverse voltage. ` +
        `The transistor of the opto-coupler joins board pin ${d.pin} to the board's ground while that voltage is there; 10 kΩ holds the pin at 5 V otherwise. The two grounds are not joined.`,
    },
    [
      pin([130, 110], terminal),
      wire([134, 110], [140, 110]),
      fuse([140, 110], [210, 110], { value: '0.25 A' }),
      resistor([220, 110], [310, 110], { value: '2.2 kΩ 0.5 W' }),
      wire([210, 110], [220, 110]),
      wire([310, 110], [left + 30, 110]),
      joint([345, 110]),
      diode([345, 230], [345, 110], { value: '1N4148', side: 'left' }),
      joint([345, 230]),
      wire([134, 230], [left + 30, 230]),
      pin([130, 230], 'engine minus'),
      box([left, 90], right - left, 160, '#f3f6f8', 4),
      diode([left + 30, 110], [left + 30, 230], {}),
      shape(
        `M${left + 52} 160 l16 -6 M${left + 62} 151 l6 3 l-4 5 M${left + 52} 174 l16 -6 M${left + 62} 165 l6 3 l-4 5`,
      ),
      shape(`M${right - 46} 150 V190`),
      wire([right - 46, 162], [right - 20, 145], [right - 20, 110], [right + 60, 110]),
      wire([right - 46, 178], [right - 20, 195], [right - 20, 230], [right + 60, 230]),
      shape(`M${right - 22} ${194} l-9 -1 l4 -7 Z`, '#1b2733'),
      note([(left + right) / 2, 270], ['opto-coupler, 4 pins, 5 kV'], 'middle'),
      joint([right + 60, 110]),
      resistor([right + 60, 60], [right + 60, 110], { value: '10 kΩ' }),
      supply([right + 60, 60], '5 V'),
      wire([right + 60, 110], [right + 130, 110]),
      pin([right + 130, 110], `pin ${d.pin}`, 'right'),
      ground([right + 60, 230]),
      note([20, 296], [means, 'The two sides share no wire. 12 V only, not 24 V.']),
    ],
  );
};

/** The lamp at the helm, switched by a board pin. */
export const lampSketch = (d: { readonly title: string; readonly pin: number }): string =>
  sketch(
    {
      width: 520,
      height: 330,
      title: d.title,
      description: `Board pin ${d.pin} drives the gate of a transistor through 1 kΩ, with 100 kΩ to ground; the transistor switches a 12 V indicator lamp. Supply and ground are those of the missing-pulse board, so that its fuses serve the lamp too and grounds meet once.`,
    },
    [
      pin([110, 210], `pin ${d.pin}`),
      wire([114, 210], [130, 210]),
      resistor([130, 210], [210, 210], { value: '1 kΩ' }),
      joint([220, 210]),
      wire([210, 210], [250, 210]),
      resistor([220, 210], [220, 270], { value: '100 kΩ', side: 'left' }),
      ground([220, 270]),
      nMosfet([280, 210], '2N7000'),
      wire([290, 240], [290, 270]),
      ground([290, 270]),
      wire([290, 180], [290, 150]),
      box([260, 110], 60, 40, '#f3f6f8', 4),
      text([290, 135], 'lamp', { anchor: 'middle', bold: true }),
      text([332, 135], '12 V LED indicator, 20 mA', { size: 12 }),
      wire([290, 110], [290, 80]),
      supply([290, 80], '12 V behind the feed diodes'),
      note([20, 306], ['On the missing-pulse board: its 12 V behind the fuses, its ground.']),
    ],
  );

/** How current reaches every part, with a fuse at each source and one common ground. */
export const powerSketch = (ignitions: readonly string[]): string => {
  const feedPitch = 44;
  // The four wires of the missing-pulse circuit need the height of two ignitions.
  const lower = 120 + feedPitch * (Math.max(2, ignitions.length) + 1);
  const converter = block([470, lower], 170, ['12 V to 5 V', 'isolated'], {
    left: ['in +', 'in −'],
    right: ['5 V', '0 V'],
  });
  const computer = block([700, lower], 140, ['computer', 'and board (USB)'], { left: ['5 V', '0 V'] });
  const buzzer = block([470, 60], 170, ['missing-pulse', 'circuit, buzzer, lamp'], {
    left: ['+', '−'],
    right: ['heartbeat', 'buzzer', 'lamp', '0 V'],
  });
  const [inPlus, inMinus] = converter.left as [Point, Point];
  const [outPlus, outMinus] = converter.right as [Point, Point];
  const [usbPlus, usbMinus] = computer.left as [Point, Point];
  const [bzPlus, bzMinus] = buzzer.left as [Point, Point];
  const rail = 410;
  const feed = (y: number, from: number, rating: string): string =>
    fuse([from, y], [from + 80, y], { value: rating }) +
    diode([from + 80, y], [from + 150, y], { ...(y === bzPlus[1] && { value: '1N4007' }) }) +
    wire([from + 150, y], [rail, y], [rail, bzPlus[1]]);
  const kitY = bzPlus[1] + feedPitch * ignitions.length;
  const kitX = 300 - 80;
  return sketch(
    {
      width: 860,
      leftOf: overhang(ignitions, 150, { bold: true }),
      height: lower + 190,
      title: 'Power: a fuse at every source, grounds joined once',
      description:
        'The switched 12 V of each engine goes through its own 1 A fuse and a diode to the missing-pulse circuit and the buzzer. ' +
        'The house battery goes through a 5 A fuse at the battery to the kit switch. From there a 1 A fuse and a diode feed the same circuit, so that it stays alive when a key is turned off while a diesel runs on, ' +
        'and a 3 A fuse feeds an isolated 12 V to 5 V converter for the computer and the board. ' +
        'Four wires run in one cable from the board to the missing-pulse circuit: heartbeat pin, buzzer pin, lamp pin and 0 V. There, and nowhere else, the board ground meets the 12 V minus. 12 V boats only.',
    },
    [
      buzzer.svg,
      converter.svg,
      computer.svg,
      ...ignitions.flatMap((name, index) => {
        const y = bzPlus[1] + feedPitch * index;
        return [pin([160, y], name), wire([164, y], [kitX, y]), feed(y, kitX, '1 A')];
      }),
      wire([rail, bzPlus[1]], bzPlus),
      joint([rail, bzPlus[1]]),
      joint([kitX, kitY]),
      feed(kitY, kitX, '1 A'),
      pin([70, inPlus[1]], 'house'),
      wire([74, inPlus[1]], [80, inPlus[1]]),
      fuse([80, inPlus[1]], [150, inPlus[1]], { value: '5 A' }),
      shape(`M150 ${inPlus[1]} L188 ${inPlus[1] - 16} M190 ${inPlus[1]} H${kitX}`),
      text([150, inPlus[1] + 22], 'kit switch', { size: 12 }),
      joint([kitX, inPlus[1]]),
      wire([kitX, inPlus[1]], [kitX, kitY]),
      fuse([kitX, inPlus[1]], [300, inPlus[1]], { value: '3 A' }),
      wire([300, inPlus[1]], inPlus),
      wire(bzMinus, [440, bzMinus[1]], [440, lower + 150]),
      wire(inMinus, [440, inMinus[1]]),
      joint([440, inMinus[1]]),
      ground([440, lower + 150]),
      note([460, lower + 164], ['battery minus']),
      wire(outPlus, usbPlus),
      wire(outMinus, usbMinus),
      ...buzzer.right.map((from, index) => {
        const x = 820 - 25 * index;
        return wire(from, [x, from[1]], [x, lower]);
      }),
      note([650, 80], ['the grounds meet here,', 'at the missing-pulse circuit']),
    ],
  );
};
