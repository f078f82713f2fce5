import { describe, expect, it } from 'vitest';
import { answersSchema } from '../../../host/plan/answers.js';
import { kitFile } from '../../../host/plan/kit-file.js';
import { makePlan } from '../../../host/plan/make-plan.js';
import { planText } from '../../../host/plan/plan-text.js';
import { sketchesFor } from '../../../host/plan/sketches.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { readTable } from '../../tables/read-table.js';
import { plan } from './planned.js';

describe('a plan that reads the buzzer’s current back', () => {
  const asked = (over: object = {}) => plan({ engines: [{ id: 'main' }], buzzerMilliamps: 25, ...over });

  it.each([
    // By hand: 0.25 V over the rated current, and the E24 value (IEC 60063) below it.
    [25, 10],
    [100, 2.4],
    [12, 20],
    [5, 47],
  ])('gives a buzzer of %d mA a shunt of %d ohm, in the kit, the parts and the text', (milliamps, ohms) => {
    const made = asked({ buzzerMilliamps: milliamps });
    const kit = parseKit(kitFile(made), 'kit.yaml');
    expect(kit.buzzerCurrent).toMatchObject({ shuntOhms: ohms, ratedMilliamps: milliamps, supplyVolts: 5 });
    expect(made.parts.map(({ part }) => part)).toContain(`resistor ${ohms} Ω 5 %, 0.25 W`);
    expect(planText(made, { degrees: degreesIn('celsius'), width: 130 })).toContain(
      `buzzer current ${kit.buzzerCurrent?.pin}`,
    );
  });

  it('says so where no pin is left, and takes none where it was not asked for', () => {
    const full = asked({ engines: [{ id: 'port' }, { id: 'starboard' }], converter: 'board' });
    expect(full.allocation.buzzerCurrentPin).toBeUndefined();
    expect(full.remarks.join()).toContain('No analogue pin is left to read the buzzer’s current back');
    expect(plan({ engines: [{ id: 'main' }] }).allocation.buzzerCurrentPin).toBeUndefined();
  });
});

describe('platinum elements in place of the thermistors', () => {
  const made = (r0Ohms: 100 | 1000) =>
    makePlan(answersSchema.parse({ plan: 1, boat: 'Reed Bunting (invented)', platinum: { r0Ohms } }));

  it.each([100, 1000] as const)(
    'a Pt%i is read over an ADS1115, and the kit file says so and loads',
    (r0Ohms) => {
      const plan = made(r0Ohms);
      const kit = parseKit(kitFile(plan), 'kit.yaml');
      const slow = kit.probes.filter(({ place }) => place !== 'dry-exhaust');
      expect(slow.length).toBeGreaterThanOrEqual(3);
      for (const { channel } of slow)
        expect(channel).toMatchObject({
          kind: 'platinum-divider-ads1115',
          r0Ohms,
          grade: 'B',
          supplyInput: 'AIN3',
        });
      expect(plan.parts[0]?.part).toMatch(new RegExp(`^Pt${r0Ohms} film element, class B of IEC 60751`));
      expect(planText(plan, { degrees: degreesIn('celsius'), width: 100 })).toMatch(
        /platinum element to ground/,
      );
      const drawings = [...sketchesFor(plan).values()].join('');
      expect(drawings).toContain(`Pt${r0Ohms} on AIN0 of the ADS1115`);
      expect(drawings).not.toMatch(/: NTC on/);
    },
  );

  it('its resistances are those of the published table, and its resistor keeps its own heat below 0.3 C', () => {
    const table = new Map(
      readTable('pt100-iec60751.csv').map(({ temp_c, resistance_ohm }) => [
        Number(temp_c),
        Number(resistance_ohm),
      ]),
    );
    for (const { plan } of made(1000).probes) {
      if (plan.kind !== 'ntc') continue;
      const rows = plan.points.filter(({ temperatureC }) => table.has(temperatureC));
      expect(rows.length).toBeGreaterThan(3);
      for (const { temperatureC, ohms } of rows)
        expect(Math.abs(ohms - 10 * (table.get(temperatureC) ?? 0)), `${temperatureC}`).toBeLessThan(0.06);
      expect(plan.best.selfHeatingC).toBeLessThan(0.3);
    }
  });

  it('on the converter of the board is refused: its steps are too coarse', () => {
    const asked = { plan: 1, boat: 'x', platinum: {}, converter: 'board' };
    expect(answersSchema.safeParse(asked).error?.issues[0]?.message).toMatch(/read over an ADS1115/);
  });
});
