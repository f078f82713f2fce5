import type { allEngines } from '../../../node/index.js';
import type { EngineNow } from '../../serve/now.js';
import { now } from './stream.js';

/** Only the type is taken from the node: its code is nothing for a browser. */
const all: typeof allEngines = 'all';

/** The engines of the kit, in its order, which is the order on every screen. */
export const engines = (): readonly EngineNow[] => now.value?.engines ?? [];

/** Whether something belongs to no single engine, such as the sea. */
export const isShared = (engine: string): boolean => engine === all;

/** How the owner calls an engine. */
export const engineName = (engine: string): string => {
  const known = engines();
  if (isShared(engine))
    return known.length === 1 ? (known[0]?.name ?? '') : known.length === 2 ? 'Both engines' : 'All engines';
  return known.find(({ id }) => id === engine)?.name ?? engine;
};

/** The class of everything on the page that is one engine's. */
export const engineClass = (engine: string): string =>
  isShared(engine) ? all : `line-${Math.max(0, engineIndex(engine))}`;

/** The place of an engine in the list, from 0; -1 for what they share. */
export const engineIndex = (engine: string): number => engines().findIndex(({ id }) => id === engine);

/** `Port wet elbow`; the place alone where it is no single engine's. */
export const placed = (engine: string, place: string): string =>
  isShared(engine) ? place : `${engineName(engine)} ${place.toLowerCase()}`;

/** Whether Set-up and Calibrate can work on this probe: with two boards the page has the kit of the first. */
export const isInThisKit = ({ node }: { readonly node: string }): boolean =>
  now.value?.kitNode === undefined ||
  now.value.kitNode === node ||
  !now.value.probes.some((probe) => probe.node === now.value?.kitNode);
