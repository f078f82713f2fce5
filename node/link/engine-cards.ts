import { z } from 'zod';
import { engineKinds, enginesOf, enginesSchema } from '../kit/engines.js';

/** What a node says of an engine. */
export const engineCardSchema = z.object({
  id: z.string(),
  name: z.string(),
  shortName: z.string(),
  kind: z.enum(engineKinds),
  /** The engines it is compared with. */
  alike: z.array(z.string()).readonly(),
});
export type EngineCard = Readonly<z.infer<typeof engineCardSchema>>;

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
