import { celsiusTyped, metresTyped, squareMmTyped } from '../wording/typed-units.js';
import { answersSchema, type PlanAnswers } from './answers.js';

/** One question of the short round; `put` turns the words typed into a part of the answers file. */
export type Question = {
  readonly ask: string;
  readonly usual: string;
  readonly put: (typed: string) => Record<string, unknown>;
  /** What is accepted, said again when the answer does not fit. */
  readonly accepts: string;
  /** Asked only where the answers so far make it a question. */
  readonly onlyIf?: (given: PlanAnswers) => boolean;
};

const yes = (typed: string) => /^y(es)?$/i.test(typed);
const yesOrNo = 'yes or no';

/** `Hôtel generator` has the id `hotel-generator`; a name without any Latin letter is called by its place. */
const engineNamed = (typed: string, index: number) => {
  const name = typed.trim();
  const id = name
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^[-0-9]+|-$/g, '');
  return {
    id: id || (name ? `engine-${index + 1}` : ''),
    name: name.charAt(0).toUpperCase() + name.slice(1),
    kind: /gen(erator|set|ny)?\b/i.test(name) ? 'generator' : 'propulsion',
  };
};

/** The prompt says `ring` and `well`, and people answer in the plural, too. */
const mountingTyped = (word: string): string =>
  /^(rings?|straps?)$/.test(word) ? 'strap-on' : word.replace(/^wells$/, 'well');

/** In the order an owner thinks of them. Everything else keeps its usual answer and can be changed in a file. */
export const questions: readonly Question[] = [
  { ask: 'Name of the boat', usual: 'My boat', accepts: 'up to 60 letters', put: (boat) => ({ boat }) },
  {
    ask: 'Engines, one to four: what you call each, with commas between; "generator" is one that makes electricity',
    usual: 'Main engine',
    accepts: 'one to four different names such as: main, or: port, starboard, generator',
    put: (typed) => ({ engines: typed.split(',').map(engineNamed) }),
  },
  {
    ask: 'Propulsion engines of the same make and power, which are then compared with each other',
    usual: 'yes',
    accepts: yesOrNo,
    onlyIf: ({ engines }) => engines.filter(({ kind }) => kind === 'propulsion').length > 1,
    put: (typed) => (yes(typed) ? {} : { alike: [] }),
  },
  {
    ask: 'Board',
    usual: 'uno',
    accepts: 'uno, nano or mega',
    put: (board) => ({ board: board.toLowerCase() }),
  },
  {
    ask: 'Wet elbow probe: ring on the metal (strap-on) or wetted well (well); two with a comma guard through a fault of one',
    usual: 'strap-on',
    accepts: 'strap-on, or well, or two of them such as: well, strap-on',
    put: (typed) => {
      const [mounting, second, ...more] = typed
        .toLowerCase()
        .split(/[\s,]+/)
        .map(mountingTyped);
      return { wetElbow: { mounting: more.length > 0 ? typed : mounting, ...(second && { second }) } };
    },
  },
  {
    ask: 'Elbow limits to start with, warning and alarm, in C or F',
    usual: '68 C, 75 C',
    accepts: 'two temperatures with their unit such as 68 C, 75 C or 155 F, 167 F; the alarm at most 121 C',
    put: (typed) => {
      const [warnAtC, alarmAtC] = typed.split(',').map((one) => celsiusTyped(one) ?? Number.NaN);
      return { wetElbow: { limits: { warnAtC, alarmAtC } } };
    },
  },
  {
    ask: 'Thermistor: resistance at 25 C in ohms, and beta in kelvin',
    usual: '10000 3977',
    accepts: 'two numbers such as 10000 3977',
    put: (typed) => {
      const [r25Ohms, betaK] = typed.split(/[\s,]+/).map(Number);
      return { thermistor: { r25Ohms, betaK } };
    },
  },
  {
    ask: 'Exhaust gas thermocouples: amplifier mcp9601, ad8495 or none',
    usual: 'mcp9601',
    accepts: 'mcp9601, ad8495 or none',
    put: (amplifier) => ({ exhaustGas: { amplifier: amplifier.toLowerCase() } }),
  },
  {
    ask: 'Read all probes over an ADS1115 (recommended with AD8495: the converter of the board costs several degrees there)',
    usual: 'yes',
    accepts: yesOrNo,
    onlyIf: ({ exhaustGas }) => exhaustGas.amplifier === 'ad8495',
    put: (typed) => ({ converter: yes(typed) ? 'ads1115' : 'auto' }),
  },
  {
    ask: 'Running inputs, one from each engine (recommended)',
    usual: 'yes',
    accepts: yesOrNo,
    put: (typed) => ({ runningInputs: yes(typed) }),
  },
  {
    ask: 'Cable from the board to the farthest probe, in m or ft, and its size in mm2 or AWG',
    usual: '4 m, 0.5 mm2',
    accepts: 'a length of 0.2 to 50 m and a size of 0.1 to 2.5 mm2, such as 4 m, 0.5 mm2 or 13 ft, AWG 20',
    put: (typed) => {
      const [length = '', size = '0.5 mm2'] = typed.split(',');
      return {
        cable: { metres: metresTyped(length) ?? Number.NaN, squareMm: squareMmTyped(size) ?? Number.NaN },
      };
    },
  },
];

/** Asks every question, again where the answer does not fit, and gives the whole of the answers. */
export const askAll = async (
  ask: (prompt: string) => Promise<string>,
  say: (words: string) => void,
): Promise<PlanAnswers> => {
  let given: Record<string, unknown> = { plan: 1, boat: 'My boat' };
  for (const question of questions) {
    if (question.onlyIf?.(answersSchema.parse(given)) === false) continue;
    for (;;) {
      const typed = (await ask(`${question.ask} [${question.usual}]: `)).trim() || question.usual;
      const fitsWords = question.accepts !== yesOrNo || /^(y|yes|n|no)$/i.test(typed);
      const next = merged(given, question.put(typed));
      if (fitsWords && answersSchema.safeParse(next).success) {
        given = next;
        break;
      }
      say(`${JSON.stringify(typed)} does not fit. Expected: ${question.accepts}.`);
    }
  }
  return answersSchema.parse(given);
};

/** Two questions may fill one part of the file. */
const merged = (given: Record<string, unknown>, more: Record<string, unknown>): Record<string, unknown> => {
  const next = { ...given };
  for (const [name, part] of Object.entries(more)) {
    const before = given[name];
    next[name] = isPart(before) && isPart(part) ? { ...before, ...part } : part;
  }
  return next;
};

const isPart = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
