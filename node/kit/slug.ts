import { z } from 'zod';

/** The id of a probe, an engine or a node: a word that is safe in a file, a column heading and an address. */
export const slug = z
  .string()
  .regex(/^[a-z][a-z0-9-]{0,39}$/, 'small letters, digits and hyphens, letter first');
