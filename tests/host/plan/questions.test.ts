import { describe, expect, it } from 'vitest';
import { answersSchema } from '../../../host/plan/answers.js';
import { kitFile } from '../../../host/plan/kit-file.js';
import { makePlan } from '../../../host/plan/make-plan.js';
import { askAll } from '../../../host/plan/questions.js';
import { checkYaml } from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';

describe('the question round', () => {
  const scripted = (typed: string[]) => {
    const said: string[] = [];
    const answers = askAll(
      async () => typed.shift() ?? '',
      (words) => said.push(words),
    );
    return { answers, said };
  };

  it('takes the usual answers for empty lines: one engine', async () => {
    const { answers } = scripted([]);
    expect(await answers).toEqual(
      answersSchema.parse({
        plan: 1,
        boat: 'My boat',
        engines: [{ id: 'main-engine', name: 'Main engine' }],
        thermistor: { r25Ohms: 10_000, betaK: 3977 },
      }),
    );
  });

  it('two propulsion engines that are not alike are not compared, and two probes sit on each elbow', async () => {
    const { answers } = scripted(['Tern', 'main, wing engine, genset', 'no', 'mega', 'well, strap-on']);
    expect(await answers).toMatchObject({ alike: [], wetElbow: { mounting: 'well', second: 'strap-on' } });
    expect(parseKit(kitFile(makePlan(await answers)), 'kit.yaml').alike).toEqual([]);
  });

  it('an engine may be called by a word in any alphabet', async () => {
    const { answers } = scripted(['Tern', 'Hôtel-Générateur, Κύρια, 2nd engine']);
    expect((await answers).engines.map(({ id, name }) => [id, name])).toEqual([
      ['hotel-generateur', 'Hôtel-Générateur'],
      ['engine-2', 'Κύρια'],
      ['nd-engine', '2nd engine'],
    ]);
  });

  it.each([
    [[{ id: 'main' }, { id: 'hotel', kind: 'generator' }], [['main', 'hotel']], /not of one kind/],
    [
      [{ id: 'main' }, { id: 'wing' }],
      [['main', 'port']],
      /port is no engine of this kit; its engines are main, wing/,
    ],
    [[{ id: 'main' }, { id: 'main' }], undefined, /two engines have the id main/],
    [['a', 'b', 'c', 'd', 'e'].map((id) => ({ id })), undefined, /one to four engines.*a node of their own/],
    [[], undefined, /one to four engines/],
  ])('refuses the engines %j alike %j, and says why', (engines, alike, why) => {
    const yaml = JSON.stringify({ plan: 1, boat: 'Tern', engines, ...(alike && { alike }) });
    expect(() => checkYaml(yaml, answersSchema, { file: 'answers.yaml' })).toThrow(why);
  });

  it('asks for the converter of AD8495 amplifiers, and takes the words of its own prompts', async () => {
    const withAd8495 = ['Harrier', 'main', '', 'wells, ring', '', '', 'AD8495'];
    const { answers, said } = scripted([...withAd8495, '', '', '']);
    expect(await answers).toMatchObject({
      wetElbow: { mounting: 'well', second: 'strap-on' },
      exhaustGas: { amplifier: 'ad8495' },
      converter: 'ads1115',
    });
    expect(said).toEqual([]);
    expect(kitFile(makePlan(await answers))).toMatch(/kind: ad8495-ads1115/);
    expect(await scripted([...withAd8495, 'no', '', '']).answers).toMatchObject({ converter: 'auto' });
  });

  it('asks again when an answer does not fit, and says what is wanted', async () => {
    const { answers, said } = scripted([
      'Harrier',
      'main, main',
      'Main engine, hotel genset',
      'duo',
      'nano',
      '',
      '155, 167',
      '155 F, 167 F',
      '10000 hot',
      '10000 3435',
      '',
      'perhaps',
      'no',
      '400',
      '6',
    ]);
    expect(await answers).toMatchObject({
      boat: 'Harrier',
      engines: [
        { id: 'main-engine', name: 'Main engine', kind: 'propulsion' },
        { id: 'hotel-genset', name: 'Hotel genset', kind: 'generator' },
      ],
      board: 'nano',
      thermistor: { betaK: 3435 },
      runningInputs: false,
      cable: { metres: 6 },
    });
    expect(said).toEqual([
      '"main, main" does not fit. Expected: one to four different names such as: main, or: port, starboard, generator.',
      '"duo" does not fit. Expected: uno, nano or mega.',
      '"155, 167" does not fit. Expected: two temperatures with their unit such as 68 C, 75 C or 155 F, 167 F; the alarm at most 121 C.',
      '"10000 hot" does not fit. Expected: two numbers such as 10000 3977.',
      '"perhaps" does not fit. Expected: yes or no.',
      '"400" does not fit. Expected: a length of 0.2 to 50 m and a size of 0.1 to 2.5 mm2, such as 4 m, 0.5 mm2 or 13 ft, AWG 20.',
    ]);
  });
});
