import { box, joint, note, type Point, sketch, text, twistMark, wire } from './svg.js';
import { capacitor, ground, pin, resistor, supply } from './symbols.js';

/** A three-wire pressure transducer on the board's own converter: filter, pull-down, shielded cable. */
export const pressureTransducerSketch = (d: { readonly title: string; readonly pin: string }): string => {
  const [tap, foot]: [Point, Point] = [
    [320, 190],
    [320, 300],
  ];
  return sketch(
    {
      width: 720,
      height: 390,
      title: d.title,
      description: `The transducer has 5 V and ground of the board; its signal goes through 1 kΩ to pin ${d.pin}, with 100 nF from the pin to ground and 100 kΩ from the signal to ground.`,
    },
    [
      box([170, 44], 260, 306, '#f8fafb', 6),
      note([180, 340], ['beside the board']),
      supply([320, 80], '5 V of the board'),
      wire([320, 80], [540, 80]),
      resistor([200, 190], tap, { value: '1 kΩ' }),
      capacitor([200, 190], [200, 300], { value: '100 nF' }),
      resistor(tap, foot, { value: '100 kΩ' }),
      joint([200, 190]),
      joint(tap),
      wire([120, 190], [200, 190]),
      pin([120, 190], d.pin),
      wire([200, 300], foot),
      ground(foot),
      joint(foot),
      wire(tap, [540, 190]),
      wire(foot, [540, 300]),
      twistMark([440, 190], 90),
      note([480, 176], ['shielded cable'], 'middle'),
      box([540, 60], 120, 260, '#ffffff', 6),
      text([600, 84], 'supply', { anchor: 'middle', size: 12 }),
      text([600, 194], 'signal', { anchor: 'middle', size: 12 }),
      text([600, 304], 'ground', { anchor: 'middle', size: 12 }),
      note([600, 250], ['0.5 to 4.5 V'], 'middle'),
      note([600, 344], ['Seacock closed before its', 'T-piece is opened.'], 'middle'),
    ],
  );
};
