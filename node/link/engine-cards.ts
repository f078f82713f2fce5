import { enginesOf, enginesSchema } from '../kit/engines.js';
import type { EngineCard } from './messages.js';

/** The engines of a kit as a host needs them. */
export const engineCards = ({ engines, alike }: ReturnType<typeof enginesOf>): EngineCard[] =>
  engines.map(({ id, name, shortName, kind }) => ({
    id,
    name,
    shortName,
    kind,
    alike: alike.filter((group) => group.includes(id)).flatMap((group) => group.filter((e) => e !== id)),
  }));

/** What a node or a store from before the list of engines means: the engines of a kit that names none. */
export const firstEngineCards: readonly EngineCard[] = engineCards(
  enginesOf(enginesSchema.parse(undefined), undefined),
);
