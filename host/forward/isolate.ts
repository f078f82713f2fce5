import type { Outcome, Uploader } from './uploader.js';

export type Isolated =
  | {
      readonly kind: 'done';
      readonly refused: readonly { readonly line: string; readonly why: string }[];
    }
  | Extract<Outcome, { kind: 'not-now' }>;

/** So many lines refused and none taken: it is not the lines. */
const mostRefusedInARow = 20;

/**
 * Sends lines; when the server refuses them, finds the bad ones by halving and sends the rest. When it takes none at
 * all, that is the server's trouble and nobody's line is given up.
 */
export const sendIsolating = async (upload: Uploader, lines: readonly string[]): Promise<Isolated> => {
  const refused: { line: string; why: string }[] = [];
  let taken = 0;
  const waiting: (readonly string[])[] = lines.length > 0 ? [lines] : [];
  for (let part = waiting.pop(); part; part = waiting.pop()) {
    const outcome = await upload(part);
    if (outcome.kind === 'not-now') return outcome;
    if (outcome.kind === 'stored') {
      taken += part.length;
      continue;
    }
    if (part.length === 1) {
      refused.push({ line: part[0] as string, why: outcome.why });
      if (taken === 0 && refused.length >= mostRefusedInARow)
        return {
          kind: 'not-now',
          why: `the server takes none of our lines (${outcome.why})`,
          status: outcome.status,
        };
      continue;
    }
    const half = part.length >> 1;
    waiting.push(part.slice(half), part.slice(0, half));
  }
  return { kind: 'done', refused };
};
