import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { patched, patchOf } from '../../../host/serve/patch.js';

/** As the documents of the page are: a name keeps its kind of value, and arrays grow and shrink. */
const rows = fc.array(fc.dictionary(fc.constantFrom('a', 'b', 'c'), fc.oneof(fc.integer(), fc.boolean())), {
  maxLength: 4,
});
const document = fc.record(
  {
    at: fc.integer(),
    name: fc.string(),
    probes: rows,
    nodes: rows,
    of: fc.dictionary(fc.constantFrom('p', 'q'), rows),
  },
  { requiredKeys: [] },
);

describe('a patch between two documents', () => {
  it('makes the second of the first, over the wire, whatever they hold', () => {
    fc.assert(
      fc.property(document, document, (before, after) => {
        const kept = JSON.stringify(before);
        const wire = JSON.parse(JSON.stringify({ patch: patchOf(before, after) ?? {} })) as {
          patch: unknown;
        };
        expect(patched(before, wire.patch)).toEqual(JSON.parse(JSON.stringify(after)));
        expect(JSON.stringify(before)).toBe(kept);
      }),
    );
  });

  it('names only what changed: one temperature of two probes, and what is gone as null (RFC 7396)', () => {
    const before = {
      at: 1,
      probes: [
        { id: 'a', c: 40, s: 9 },
        { id: 'b', c: 41 },
      ],
      alerts: [{ id: 'x' }],
    };
    const after = {
      at: 2,
      probes: [
        { id: 'a', c: 40.5 },
        { id: 'b', c: 41 },
      ],
      alerts: [],
    };
    expect(patchOf(before, after)).toEqual({ at: 2, probes: { 0: { c: 40.5, s: null } }, alerts: [] });
    expect(patchOf(before, before)).toBeUndefined();
  });
});
