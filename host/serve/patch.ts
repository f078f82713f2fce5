/**
 * The difference of two JSON documents, in the manner of a merge patch (RFC 7396): what is named replaces, `null` takes
 * away. Beyond it, an array of unchanged length is patched by its indices. The documents hold no `null` of their own,
 * and what is an array stays one.
 */
export const patchOf = (before: unknown, after: unknown): unknown => {
  if (!isRecord(before) || !isRecord(after) || Array.isArray(before) !== Array.isArray(after)) return after;
  if (Array.isArray(before) && Array.isArray(after) && before.length !== after.length) return after;
  const patch: Record<string, unknown> = {};
  for (const key of Object.keys(before)) if (!(key in after)) patch[key] = null;
  for (const [key, value] of Object.entries(after)) {
    const known = (before as Record<string, unknown>)[key];
    if (value === undefined || Object.is(known, value)) continue;
    const part = patchOf(known, value);
    if (part !== undefined) patch[key] = part;
  }
  return Object.keys(patch).length > 0 ? patch : undefined;
};

/** The document that a patch makes of the one before; that stays as it was. */
export const patched = (before: unknown, patch: unknown): unknown => {
  if (!isRecord(patch) || Array.isArray(patch) || !isRecord(before)) return patch;
  const after = Array.isArray(before) ? [...before] : { ...before };
  for (const [key, value] of Object.entries(patch)) {
    const named = after as Record<string, unknown>;
    if (value === null) delete named[key];
    else named[key] = patched(named[key], value);
  }
  return after;
};

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;
