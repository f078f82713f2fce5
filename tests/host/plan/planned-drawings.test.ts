import { describe, expect, it } from 'vitest';
import { planText } from '../../../host/plan/plan-text.js';
import { sketchesFor } from '../../../host/plan/sketches.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { boats, generator, plan } from './planned.js';
import { sheetFaults } from './sheet-faults.js';

describe('the drawings and lists of a planned kit', () => {
  it('draws every probe, with a title and a description a screen reader can say', () => {
    const made = plan();
    const sketches = sketchesFor(made);
    for (const probe of made.probes) expect(sketches.get(`${probe.id}.svg`)).toContain(probe.name);
    for (const svg of sketches.values()) {
      expect(svg).toMatch(/^<svg [^>]*role="img"/);
      expect(svg).toMatch(/<desc id="description">[^<]{60,}</);
      expect(svg).not.toMatch(/undefined|NaN/);
    }
  });

  it.each([
    ['one engine', [{ id: 'main', name: 'Main engine' }], {}],
    [
      'a long name',
      [{ id: 'main', name: 'Auxiliary diesel of the forward hold' }],
      { rawWaterPressure: true },
    ],
    [
      'four engines with two probes on each elbow',
      [...boats[3].slice(0, 3), { ...generator, name: 'Hotel generator' }],
      {
        wetElbow: { mounting: 'well', second: 'strap-on' },
      },
    ],
  ] as const)(
    '%s: no drawing has words that leave the sheet or their box, or overlap others',
    (_, engines, over) => {
      for (const [name, svg] of sketchesFor(plan({ engines, ...over })))
        expect(sheetFaults(svg), name).toEqual([]);
    },
  );

  it('finds what is wrong with a spoilt drawing: words that overlap, leave the sheet or leave their box', () => {
    const word = (x: number, text: string) =>
      `<text x="${x}" y="40" font-size="12" text-anchor="start">${text}</text>`;
    const sheet = (inside: string) => `<svg viewBox="0 0 400 100">${inside}</svg>`;
    expect(sheetFaults(sheet(word(10, 'buzzer') + word(100, 'lamp')))).toEqual([]);
    expect(sheetFaults(sheet(word(10, 'buzzer') + word(30, 'lamp')))).toEqual(['buzzer overlaps lamp']);
    expect(sheetFaults(sheet(word(380, 'buzzer')))).toEqual(['buzzer leaves the sheet']);
    const slope = (x: number) =>
      `<text transform="translate(${x} 90) rotate(-30)" font-size="12" fill="red">100 kΩ</text>`;
    // Across the slope they are 30 sin 30 = 15 px apart, then 5.
    expect(sheetFaults(sheet(slope(10) + slope(40)))).toEqual([]);
    expect(sheetFaults(sheet(slope(10) + slope(20)))).toEqual(['100 kΩ overlaps 100 kΩ']);
    const box = '<rect x="5" y="20" width="30" height="40" rx="3"/>';
    expect(sheetFaults(sheet(box + word(10, 'buzzer')))).toEqual(['buzzer leaves its box']);
    expect(sheetFaults(sheet('<text font-size="12">buzzer</text>'))).toEqual([
      '0 of 1 words can be looked at',
    ]);
  });

  it('shows a pressure probe on the sheet of the whole kit and on the board, and counts the chips of the bus', () => {
    const made = plan({ engines: boats[2], board: 'mega', rawWaterPressure: true });
    const sketches = sketchesFor(made);
    for (const name of ['whole-kit.svg', 'board-pins.svg'])
      for (const gauge of made.gauges) expect(sketches.get(name), name).toContain(gauge.name);
    // Three gas amplifiers; the thermistors have pins enough on a Mega.
    expect(sketches.get('board-pins.svg')).toContain('I2C bus, 3 chips');
  });

  it.each([
    ['alternator-w', /^capacitor 4.7 µF/],
    ['oil-pressure', /^oil-pressure switch of its own/],
  ])('lists what a running input from %s needs, and not what the other needs', (runningSource, part) => {
    const listed = plan({ runningSource }).parts.map((p) => p.part);
    expect(listed.filter((p) => /^(capacitor 4.7 µF|oil-pressure switch)/.test(p))).toEqual([
      expect.stringMatching(part),
    ]);
  });

  it('lists the setpoints in its table and counts its parts', () => {
    const made = plan();
    expect(planText(made, { degrees: degreesIn('celsius'), width: 130 })).toMatch(/75 alarm +1472 /);
    expect(made.parts.find((p) => p.part.startsWith('NTC'))?.quantity).toBe(4);
    expect(made.parts.find((p) => p.part.startsWith('type K'))?.quantity).toBe(2);
    for (const part of made.parts) expect(part.quantity).toBeGreaterThan(0);
    for (const fitting of [
      /^ring terminal/,
      /^well/,
      /^compression fitting/,
      /^pair of type K connectors/,
      /^metres of type K/,
      /epoxy/,
      /heat-shrink/,
      /^capacitor 100 nF/,
      /^in-line fuse 1 A/,
      /^USB cable/,
      /carbon-monoxide alarm/,
    ])
      expect(
        made.parts.some(({ part }) => fitting.test(part)),
        `${fitting}`,
      ).toBe(true);
  });

  it.each([
    [{ runningInputs: false }, /stopped engine and an idling engine/],
    [{ sampleHz: 2 }, /missing-pulse circuit may sound between beats/],
    [{ exhaustGas: { amplifier: 'ad8495' } }, /error of the 5 V supply/],
    [{ exhaustGas: { amplifier: 'ad8495' }, converter: 'ads1115' }, /nothing below about 5 °C/],
    [{ supplyVolts: 3.3 }, /logic-level types/],
    [
      { engines: boats[3], wetElbow: { mounting: 'well', second: 'strap-on' }, rawWaterPressure: true },
      /Both elbow probes of Port, Centre, Starboard, Generator hang on the I2C bus/,
    ],
    [{ board: 'uno' }, /No analogue pin is left for the reference pin/],
  ])('remarks on %j', (over, remark) => {
    expect(plan(over).remarks.join('\n')).toMatch(remark);
  });

  it('gives a board with 3.3 V pins its own R3 in list, drawing and timing, and asks for logic-level transistors', () => {
    const low = plan({ supplyVolts: 3.3 });
    expect(low.parts.find(({ use }) => use === 'R3')?.part).toBe('resistor 270 kΩ');
    expect(low.parts.find(({ use }) => use.startsWith('Q2'))?.part).toMatch(/logic level/);
    expect(sketchesFor(low).get('missing-pulse.svg')).toContain('270 kΩ');
    expect(low.missingPulse.slowestEdgesPerS).toBeLessThan(10);
    const usual = plan();
    expect(usual.parts.find(({ use }) => use === 'R3')?.part).toBe('resistor 68 kΩ');
    expect(usual.parts.find(({ use }) => use.startsWith('Q2'))?.part).not.toMatch(/logic/);
  });

  it('begins the sheet for the workbench with the cautions', () => {
    const [first = ''] = planText(plan(), { degrees: degreesIn('celsius'), width: 130 }).split('\n\n');
    for (const caution of [/own alarms/, /Diesel/, /carbon monoxide/, /fuse/, /cold/, /licensed/])
      expect(first).toMatch(caution);
  });
});
