import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packBlock, unpackBlock, unpackTrace } from '../../../host/store/codec/block.js';
import {
  type Columns,
  emptyColumns,
  inOrderOfTime,
  mergeColumns,
} from '../../../host/store/codec/columns.js';

const hour = 494_000;
const startMs = hour * 3_600_000;

const oddNumbers = fc.oneof(
  fc.double({ noNaN: true }),
  fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
  fc.constantFrom(0, -0, 1 / 3, 1e-7, 0.1, 2 ** 53, -(2 ** 51), Number.MAX_VALUE, Number.MIN_VALUE),
  fc.integer({ min: -1e6, max: 1e6 }).map((n) => n / 100),
);

/** One hour of anything at all: odd times, every quality, rows without this or that. */
const anyHour: fc.Arbitrary<Columns> = fc
  .uniqueArray(
    fc.record({
      ms: fc.integer({ min: 0, max: 3_599_999 }),
      milli: fc.integer({ min: -1e8, max: 1e8 }),
      mark: fc.integer({ min: 0, max: 255 }).filter((mark) => (mark & 0x0f) <= 8),
      raw: oddNumbers,
      coldJunctionC: oddNumbers,
      uncertainty: fc.nat(1e8),
      certificate: fc.nat(65_535),
    }),
    { minLength: 1, maxLength: 200, selector: (r) => r.ms },
  )
  .map((rows) => {
    rows.sort((a, b) => a.ms - b.ms);
    const c = emptyColumns(rows.length);
    rows.forEach((r, i) => {
      c.at[i] = startMs + r.ms;
      c.marks[i] = r.mark;
      if ((r.mark & 0x0f) === 0) c.milli[i] = r.milli;
      if (r.mark & 0x30) c.raw[i] = r.raw;
      if (r.mark & 0x40) c.coldJunctionC[i] = r.coldJunctionC;
      if (r.mark & 0x80) c.uncertaintyMilli[i] = r.uncertainty;
      c.certificate[i] = r.certificate;
    });
    return c;
  });

const bytesOf = (c: Columns) =>
  [c.at, c.milli, c.marks, c.raw, c.coldJunctionC, c.uncertaintyMilli, c.certificate].map((column) =>
    Buffer.from(column.buffer, column.byteOffset, column.byteLength).toString('hex'),
  );

describe('a block', () => {
  it('gives every field of any hour back bit for bit, and its sums are those of its good readings', () => {
    fc.assert(
      fc.property(anyHour, (columns) => {
        const block = packBlock(columns);
        expect(bytesOf(unpackBlock(block))).toEqual(bytesOf(columns));
        expect(unpackTrace(block).at).toEqual(columns.at);
        const good = Array.from(columns.milli).filter((_, i) => ((columns.marks[i] ?? 0) & 0x0f) === 0);
        expect(block.n).toBe(good.length);
        expect(block.missing).toBe(columns.length - good.length);
        if (good.length > 0)
          expect([block.min, block.max, block.sum]).toEqual([
            Math.min(...good),
            Math.max(...good),
            good.reduce((a, b) => a + b, 0),
          ]);
      }),
      { numRuns: 300 },
    );
  });

  it('merges with late rows in any order to the same block, keeps the first of two, and counts those that differ', () => {
    fc.assert(
      fc.property(anyHour, anyHour, (kept, late) => {
        const { columns, added, differing } = mergeColumns(kept, late);
        expect(columns.length).toBe(kept.length + added);
        const times = new Set([...kept.at, ...late.at]);
        expect([...columns.at]).toEqual([...times].sort((a, b) => a - b));
        const twice = [...late.at].filter((at) => kept.at.includes(at)).length;
        expect(added).toBe(late.length - twice);
        expect(differing).toBeLessThanOrEqual(twice);
        expect(bytesOf(mergeColumns(kept, columns).columns)).toEqual(bytesOf(columns));
        expect(mergeColumns(kept, kept)).toMatchObject({ added: 0, differing: 0 });
      }),
      { numRuns: 100 },
    );
  });

  it('puts readings in order of time; of two at one millisecond the first stays', () => {
    const c = emptyColumns(4);
    c.at.set([3, 1, 3, 2]);
    c.milli.set([30, 10, 99, 20]);
    const sorted = inOrderOfTime(c);
    expect([...sorted.at]).toEqual([1, 2, 3]);
    expect([...sorted.milli]).toEqual([10, 20, 30]);
  });
});
