import { box, joint, note, type Point, sketch, twistMark, wire } from './svg.js';
import { capacitor, ground, pin, resistor, supply, thermistor } from './symbols.js';
import { ohmsText } from './value-text.js';

export type NtcDividerDrawing = {
  readonly title: string;
  readonly pin: string;
  readonly resistorOhms: number;
  /** The label beside it, and what it is in words; NTC and thermistor when absent. */
  readonly mark?: string;
  readonly element?: string;
  readonly thermistor: string;
  readonly thermistorSide: 'low' | 'high';
  /** The reference the board's converter uses, by name: `5 V` or `3.3 V`. */
  readonly reference: string;
  /** One more thing to wire, said below the drawing. */
  readonly note?: string;
};

/** One NTC probe on the board's own converter: divider, filter, series protection, twisted cable. */
export const ntcDividerSketch = (d: NtcDividerDrawing): string => {
  const low = d.thermistorSide === 'low';
  const { element = 'thermistor' } = d;
  const [top, tap, bottom]: [Point, Point, Point] = [
    [300, 80],
    [300, 190],
    [300, 300],
  ];
  const probeTop: Point = low ? [556, 190] : [556, 80];
  const probeBottom: Point = low ? [556, 300] : [556, 190];
  return sketch(
    {
      width: 720,
      height: 380,
      title: d.title,
      description:
        `A ${ohmsText(d.resistorOhms)} resistor and the ${element} divide the board's ${d.reference}; their joint goes to pin ${d.pin} ` +
        `through 1 kΩ, with 100 nF from the pin to ground. The ${element} is on the ${low ? 'ground' : 'supply'} side, at the end of a twisted pair.`,
    },
    [
      box([170, 44], 260, 306, '#f8fafb', 6),
      note([180, 340], ['beside the board']),
      supply(top, `${d.reference} of the board`),
      resistor(low ? top : tap, low ? tap : bottom, {
        name: 'R',
        value: `${ohmsText(d.resistorOhms)} 0.1 %`,
      }),
      resistor([200, 190], tap, { value: '1 kΩ' }),
      capacitor([200, 190], [200, 300], { value: '100 nF' }),
      joint([200, 190]),
      joint(tap),
      wire([120, 190], [200, 190]),
      pin([120, 190], d.pin),
      wire([200, 300], [300, 300]),
      ground([300, 300]),
      joint([300, 300]),
      wire(low ? tap : top, probeTop),
      wire(low ? bottom : tap, probeBottom),
      twistMark([446, low ? 190 : 80], 110),
      note([470, low ? 182 : 72], ['twisted pair'], 'middle'),
      thermistor(probeTop, probeBottom, { name: d.mark ?? 'NTC', value: d.thermistor }),
      note(
        [560, 330],
        ['Neither lead touches the engine.', ...(d.note === undefined ? [] : [d.note])],
        'middle',
      ),
    ],
  );
};
