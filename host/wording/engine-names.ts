import { allEngines, type EngineCard } from '../../node/index.js';

/** The engines of several nodes, each once: two nodes that speak of one id mean one engine. */
export const mergedEngines = (lists: readonly (readonly EngineCard[])[]): readonly EngineCard[] => {
  const found = new Map<string, EngineCard>();
  for (const card of lists.flat()) if (!found.has(card.id)) found.set(card.id, card);
  return [...found.values()];
};

/** An engine as its owner calls it; for `all` what that is on this boat. An id that no node knows stays as it is. */
export const engineNamed = (id: string, engines: readonly EngineCard[]): string =>
  engines.find((engine) => engine.id === id)?.name ?? (id === allEngines ? allNamed(engines) : id);

const allNamed = (engines: readonly EngineCard[]): string =>
  engines.length === 1 ? (engines[0]?.name ?? '') : engines.length === 2 ? 'Both' : 'All';

/** Every two engines that are compared, once. */
export const pairsOf = (engines: readonly EngineCard[]): readonly (readonly [EngineCard, EngineCard])[] =>
  engines.flatMap((one, i) =>
    engines.slice(i + 1).flatMap((other) => (one.alike.includes(other.id) ? [[one, other] as const] : [])),
  );
