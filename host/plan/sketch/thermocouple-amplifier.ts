import { circle, colouredWire, joint, note, type Point, sketch, text, wire } from './svg.js';
import { block, capacitor, ground, pin, resistor, supply } from './symbols.js';

/** Colours of type K leads: IEC 60584-3 green and white; in North America yellow and red, red being minus. */
const plus = '#2e7d32';
const minus = '#b8bec4';

/** The probe at the right: two leads from the amplifier's screws to the bead. */
const thermocoupleLeads = (plusAt: Point, minusAt: Point, type: string): string => {
  const bead: Point = [640, (plusAt[1] + minusAt[1]) / 2];
  return [
    colouredWire(plus, plusAt, [600, plusAt[1]], bead),
    colouredWire(minus, minusAt, [600, minusAt[1]], bead),
    circle(bead, 5, '#1b2733'),
    text([bead[0] + 12, bead[1] + 4], `type ${type}`),
    text([515, plusAt[1] - 8], '+ (IEC green, US yellow)', { size: 11, anchor: 'middle', faint: true }),
    text([515, minusAt[1] + 18], '− (IEC white, US red)', { size: 11, anchor: 'middle', faint: true }),
  ].join('');
};

export type Mcp960xDrawing = {
  readonly title: string;
  readonly address: number;
  readonly thermocouple: string;
};

const hex = (address: number) => `0x${address.toString(16).toUpperCase()}`;

/** One I2C thermocouple amplifier with its address, pull-ups and probe. */
export const mcp960xSketch = (d: Mcp960xDrawing): string => {
  const chip = block([290, 110], 120, ['MCP9601', hex(d.address)], {
    left: ['VDD', 'GND', 'SDA', 'SCL', 'ADR'],
    right: ['T+', 'T−'],
  });
  const [vdd, gnd, sda, scl, adr] = chip.left as [Point, Point, Point, Point, Point];
  const [tPlus, tMinus] = chip.right as [Point, Point];
  return sketch(
    {
      width: 720,
      height: 392,
      title: d.title,
      description:
        `An MCP9601 amplifier at address ${hex(d.address)}, set by its address jumper, on SDA (A4) and SCL (A5) of the board, fed from its 5 V and ground. ` +
        `The type ${d.thermocouple} thermocouple goes to T+ and T− with no other metal in between; the bead is insulated from the engine.`,
    },
    [
      chip.svg,
      supply([230, 80], '5 V'),
      wire([230, 80], [230, vdd[1]], vdd),
      wire(gnd, [200, gnd[1]], [200, 310]),
      ground([200, 310]),
      capacitor([250, vdd[1]], [250, gnd[1]], {}),
      joint([250, vdd[1]]),
      joint([250, gnd[1]]),
      text([236, vdd[1] + 17], '100 nF', { size: 11, anchor: 'end', faint: true }),
      wire([120, sda[1]], sda),
      wire([120, scl[1]], scl),
      pin([120, sda[1]], 'SDA (A4)'),
      pin([120, scl[1]], 'SCL (A5)'),
      wire(adr, [265, adr[1]], [265, 300]),
      text([265, 316], `jumper for ${hex(d.address)}`, { anchor: 'middle', size: 12 }),
      thermocoupleLeads(tPlus, tMinus, d.thermocouple),
      note(
        [20, 352],
        ['SDA and SCL: one pair of pull-ups to 5 V', 'for the whole bus, not one for each board.'],
      ),
      note(
        [425, 316],
        [
          'Only thermocouple wire and its own connectors',
          'between bead and screws. Bead insulated from',
          'the engine: choose an ungrounded junction.',
        ],
      ),
    ],
  );
};

export type Ad8495Drawing = { readonly title: string; readonly pin: string };

/** One analogue thermocouple amplifier on a board pin. */
export const ad8495Sketch = (d: Ad8495Drawing): string => {
  const chip = block([290, 110], 120, ['AD8495', '5 mV/°C'], {
    left: ['V+', 'GND', 'REF', 'OUT'],
    right: ['+', '−'],
  });
  const [vPlus, gnd, ref, out] = chip.left as [Point, Point, Point, Point];
  const [tPlus, tMinus] = chip.right as [Point, Point];
  return sketch(
    {
      width: 720,
      height: 360,
      title: d.title,
      description:
        `An AD8495 amplifier fed from the board's 5 V, its reference pin on ground, its output through 1 kΩ to pin ${d.pin} with 100 nF from the pin to ground. ` +
        'The type K thermocouple goes to + and −; the minus input has 1 MΩ to ground so that an insulated probe does not float.',
    },
    [
      chip.svg,
      supply([230, 80], '5 V'),
      wire([230, 80], [230, vPlus[1]], vPlus),
      wire(gnd, [250, gnd[1]], [250, 290]),
      wire(ref, [250, ref[1]]),
      joint([250, ref[1]]),
      ground([250, 290]),
      wire(out, [230, out[1]]),
      resistor([170, out[1]], [230, out[1]], { value: '1 kΩ' }),
      wire([100, out[1]], [170, out[1]]),
      joint([150, out[1]]),
      capacitor([150, out[1]], [150, 290], { value: '100 nF' }),
      ground([150, 290]),
      pin([100, out[1]], d.pin),
      thermocoupleLeads(tPlus, tMinus, 'K'),
      joint([430, tMinus[1]]),
      resistor([430, tMinus[1]], [430, 290], { value: '1 MΩ' }),
      ground([430, 290]),
    ],
  );
};
