import { box, joint, lines, sketch, text, wire } from './svg.js';
import { capacitor, ground, nMosfet, pin, resistor } from './symbols.js';
import { ohmsText } from './value-text.js';

/** The shunt in the common 0 V of Q2 and Q3, and its way to an analogue pin of the board. */
export const buzzerShuntSketch = (wiring: {
  readonly title: string;
  readonly pin: string;
  readonly shuntOhms: number;
}): string => {
  const [drain, source, floor] = [130, 230, 320];
  return sketch(
    {
      width: 640,
      height: 380,
      title: wiring.title,
      description:
        'Buzzer BZ1 and transistors Q2 and Q3 are those of the missing-pulse circuit. The sources of Q2 and Q3 are joined and no longer go to 0 V by themselves: a shunt lies between. ' +
        `From the sources a wire in the cable goes through 10 kΩ to pin ${wiring.pin} of the board, where 1 µF to 0 V smooths the tone.`,
    },
    [
      box([110, 50], 60, 36, '#f3f6f8', 4),
      text([140, 73], 'BZ1', { anchor: 'middle', bold: true }),
      lines([180, 64], ['from the 12 V', 'of the circuit'], { size: 12 }),
      wire([140, 86], [140, 110]),
      wire([100, drain], [100, 110], [240, 110], [240, drain]),
      joint([140, 110]),
      nMosfet([90, 160], 'Q2'),
      nMosfet([230, 160], 'Q3'),
      wire([100, drain], [100, 130]),
      wire([100, 190], [100, source], [240, source], [240, 190]),
      joint([240, source]),
      joint([170, source]),
      resistor([170, source], [170, floor], { name: 'shunt', value: ohmsText(wiring.shuntOhms) }),
      ground([170, floor]),
      wire([240, source], [350, source]),
      lines([256, source + 22], ['fifth wire of the cable'], { size: 12 }),
      resistor([350, source], [450, source], { value: '10 kΩ' }),
      joint([480, source]),
      wire([450, source], [560, source]),
      capacitor([480, source], [480, floor], { value: '1 µF' }),
      ground([480, floor]),
      pin([564, source], `pin ${wiring.pin}`, 'right'),
    ],
  );
};
