import type { ProbeNow } from '../../serve/now.js';
import { toReader } from '../look/degrees.js';

/** A limit in the reader's unit. */
export type LimitLine = { readonly kind: 'warning' | 'alarm'; readonly at: number };

/** The limits of these probes, each value once. */
export const limitLines = (probes: readonly Pick<ProbeNow, 'limits'>[]): readonly LimitLine[] => {
  const lines = new Map<string, LimitLine>();
  for (const { limits } of probes)
    for (const kind of ['warning', 'alarm'] as const) {
      const limit = limits[kind];
      if (limit) lines.set(`${kind}${limit.raiseAtC}`, { kind, at: toReader(limit.raiseAtC) });
    }
  return [...lines.values()];
};
