import { z } from 'zod';

type Shape = {
  readonly properties?: Readonly<Record<string, Shape>>;
  readonly items?: Shape;
  readonly anyOf?: readonly Shape[];
  readonly oneOf?: readonly Shape[];
};

/** The settings the schema knows at a place in the file, so that a misspelt one can be answered with the right ones. */
export const settingsAt = (schema: z.ZodType, path: readonly PropertyKey[]): readonly string[] => {
  let here: readonly Shape[] = [z.toJSONSchema(schema, { io: 'input' }) as Shape];
  for (const step of path)
    here = alternatives(here).flatMap((shape) => {
      const inside = typeof step === 'number' ? shape.items : shape.properties?.[String(step)];
      return inside ? [inside] : [];
    });
  return [...new Set(alternatives(here).flatMap((shape) => Object.keys(shape.properties ?? {})))];
};

const alternatives = (shapes: readonly Shape[]): Shape[] =>
  shapes.flatMap((shape) => [shape, ...alternatives([...(shape.anyOf ?? []), ...(shape.oneOf ?? [])])]);
