import type { Outcome, Uploader } from './uploader.js';

export type Isolated =
  | {
      readonly kind: 'done';
      readonly refused: readonly { readonly line: string; readonly why: string }[];
      /** A line the server took, to ask it again with. */
      readonly good?: string;
    }
  | Extract<Outcome, { kind: 'not-now' }>;

/** So many lines refused and none taken: time to ask whether it is the lines. */
const mostRefusedInARow = 20;

/**
 * Sends lines; when the server refuses them, finds the bad ones by halving and sends the rest. A line is given up only
 * beside one that the server took: until it takes another of these, or once more `knownGood` that it took before, the
 * server is at fault and no line is given up.
 */
export const sendIsolating = async (
  upload: Uploader,
  lines: readonly string[],
  knownGood?: string,
): Promise<Isolated> => {
  const refused: { line: string; why: string; status: number }[] = [];
  let good: string | undefined;
  const askWith = knownGood ?? lines.at(-1);
  const notNow = async (): Promise<Extract<Outcome, { kind: 'not-now' }> | undefined> => {
    const last = refused.at(-1);
    if (good !== undefined || askWith === undefined || !last) return undefined;
    const outcome = await upload([askWith]);
    if (outcome.kind === 'not-now') return outcome;
    if (outcome.kind === 'stored') good = askWith;
    else
      return {
        kind: 'not-now',
        why: `the server takes none of our lines (${last.why})`,
        status: last.status,
      };
    return undefined;
  };
  const waiting: (readonly string[])[] = lines.length > 0 ? [lines] : [];
  for (let part = waiting.pop(); part; part = waiting.pop()) {
    const outcome = await upload(part);
    if (outcome.kind === 'not-now') return outcome;
    if (outcome.kind === 'stored') {
      good = part.at(-1);
      continue;
    }
    if (part.length === 1) {
      refused.push({ line: part[0] as string, why: outcome.why, status: outcome.status });
      const trouble = refused.length >= mostRefusedInARow ? await notNow() : undefined;
      if (trouble) return trouble;
      continue;
    }
    const half = part.length >> 1;
    waiting.push(part.slice(half), part.slice(0, half));
  }
  const trouble = await notNow();
  if (trouble) return trouble;
  return {
    kind: 'done',
    refused: refused.map(({ line, why }) => ({ line, why })),
    ...(good !== undefined && { good }),
  };
};
