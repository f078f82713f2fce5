import { z } from 'zod';
import { slug } from '../channels/fields.js';

/** The id of one engine, as the kit file has it. Any word of the owner's: `port`, `main`, `generator`. */
export type Engine = string;

/** In the place of an engine's id: what belongs to no single engine, such as the sea and the engine room. */
export const allEngines = 'all';

/** `both` is what kits, nodes and stores said when a boat had two engines. */
export const engineOrAll = (word: Engine): Engine => (word === 'both' ? allEngines : word);

/** A generator set runs at one speed whatever its load; a propulsion engine's load goes with its speed. */
export const engineKinds = ['propulsion', 'generator'] as const;
export type EngineKind = (typeof engineKinds)[number];

/** What one engine is called and where its running input is wired. */
export type KitEngine = {
  readonly id: Engine;
  readonly name: string;
  /** Where there is room for a word only. */
  readonly shortName: string;
  readonly kind: EngineKind;
  readonly ratedKw?: number | undefined;
  readonly runningInput?: { readonly pin: number; readonly activeLow: boolean } | undefined;
};

export const mostEngines = 4;
/** Fits a tab and a heading of four engines side by side on a 390 px screen. */
const longestShortName = 12;

export const digitalPin = z.number().int().min(2).max(53);

const ratedKw = z.number().min(1).max(2000).optional();
const inputs = {
  ratedKw,
  /** Opto-coupler output fed from ignition or oil pressure. */
  runningInput: z.strictObject({ pin: digitalPin, activeLow: z.boolean().default(true) }).optional(),
};

const card = {
  id: slug.refine((id) => id !== allEngines && id !== 'both', {
    message: '"all" and "both" mean what engines share; choose another id',
  }),
  name: z.string().trim().min(1).max(40).optional(),
  shortName: z.string().trim().min(1).max(longestShortName).optional(),
  kind: z.enum(engineKinds).default('propulsion'),
};
const engine = z.strictObject({ ...card, ...inputs });

/** The layout of the first kit files: two propulsion engines under fixed names. */
const twinForm = z.strictObject({
  port: z.strictObject(inputs).default({}),
  starboard: z.strictObject(inputs).default({}),
});

const oneToFour = 'one kit has one to four engines; those beyond need a kit and a node of their own';

/** The engines before any pin is given out, as a plan asks for them. */
export const plannedEngines = z
  .array(z.strictObject({ ...card, ratedKw }))
  .refine(({ length }) => length >= 1 && length <= mostEngines, { message: oneToFour });

export const enginesSchema = z
  .union([z.array(engine).min(1).max(mostEngines), twinForm])
  .default({ port: {}, starboard: {} });

const pair = z.array(slug).min(2).max(mostEngines);
/** One group, or a list of groups. */
export const alikeSchema = z.union([z.array(pair), pair]).optional();

/** The engines in one form, and the groups of engines that are compared with each other. */
export const enginesOf = (
  engines: z.output<typeof enginesSchema>,
  alike: z.output<typeof alikeSchema>,
): { readonly engines: readonly KitEngine[]; readonly alike: readonly (readonly Engine[])[] } => {
  const groups = (alike ?? []).every((entry) => typeof entry === 'string')
    ? [(alike ?? []) as Engine[]].filter((group) => group.length > 0)
    : (alike as Engine[][]);
  if (Array.isArray(engines)) return { engines: engines.map(named), alike: groups };
  const twins = Object.entries(engines).map(([id, wired]) => named({ id, kind: 'propulsion', ...wired }));
  return { engines: twins, alike: alike === undefined ? [twins.map(({ id }) => id)] : groups };
};

const named = ({ id, name, shortName, ...rest }: z.output<typeof engine>): KitEngine => {
  const full = name ?? capital(id.replaceAll('-', ' '));
  const short = [shortName, full, capital(id)].find(
    (word) => word !== undefined && word.length <= longestShortName,
  );
  return { id, name: full, shortName: short ?? id.slice(0, longestShortName), ...rest };
};

const capital = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

/** What is wrong with the engines and the output pins of a kit, each with the setting it is about. */
export const engineTroubles = (
  { engines, alike }: ReturnType<typeof enginesOf>,
  outputs: Readonly<Record<string, number>>,
): { readonly path: readonly (string | number)[]; readonly message: string }[] => {
  const troubles: { path: readonly (string | number)[]; message: string }[] = [];
  const ids = engines.map(({ id }) => id);
  const pins = new Map<number, string>();
  for (const [name, pin] of Object.entries(outputs)) {
    const by = pins.get(pin);
    if (by) troubles.push({ path: ['outputs', name], message: `pin ${pin} is already taken by ${by}` });
    else pins.set(pin, name);
  }
  engines.forEach(({ id, name, runningInput }, i) => {
    if (ids.indexOf(id) < i)
      troubles.push({ path: ['engines', i, 'id'], message: `two engines have the id ${id}` });
    if (engines.findIndex((other) => other.name.toLowerCase() === name.toLowerCase()) < i)
      troubles.push({
        path: ['engines', i, 'name'],
        message: `two engines are called ${name}; an alert must say which one it means`,
      });
    if (!runningInput) return;
    const by = pins.get(runningInput.pin);
    if (by)
      troubles.push({
        path: ['engines', i, 'runningInput', 'pin'],
        message: `pin ${runningInput.pin} is already taken by ${by}`,
      });
    else pins.set(runningInput.pin, `the running input of ${id}`);
  });
  const grouped = new Set<Engine>();
  for (const [i, group] of alike.entries())
    for (const id of group) {
      if (!ids.includes(id))
        troubles.push({
          path: ['alike', i],
          message: `${id} is no engine of this kit; its engines are ${ids.join(', ')}`,
        });
      else if (grouped.has(id))
        troubles.push({
          path: ['alike', i],
          message: `${id} is named twice; an engine can be in one group only`,
        });
      grouped.add(id);
    }
  for (const [i, group] of alike.entries())
    if (new Set(engines.filter(({ id }) => group.includes(id)).map(({ kind }) => kind)).size > 1)
      troubles.push({
        path: ['alike', i],
        message: `${group.join(' and ')} are not of one kind; a generator set is not compared with a propulsion engine`,
      });
  return troubles;
};
