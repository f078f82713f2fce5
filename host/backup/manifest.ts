import { z } from 'zod';

/** The first file of every backup. */
export const manifestName = 'elbowroom-backup.json';

/** No path leads out of the folders it is restored to. */
const entryName = z
  .string()
  .max(100)
  .regex(/^(boat|data)(\/[^/\\\0]+)+$/)
  .refine((name) => !name.split('/').some((part) => part === '..' || part === '.'), 'leaves its folder');

export const manifestSchema = z.strictObject({
  backup: z.literal(1),
  madeAt: z.iso.datetime(),
  /** Name of the kit file, below `boat/`. */
  kit: z
    .string()
    .min(1)
    .regex(/^[^/\\\0]+$/),
  entries: z
    .array(
      z.strictObject({
        name: entryName,
        bytes: z.number().int().min(0),
        sha256: z.string().regex(/^[0-9a-f]{64}$/),
      }),
    )
    .min(1)
    .max(10_000),
});

export type Manifest = z.infer<typeof manifestSchema>;
