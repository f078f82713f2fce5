import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { Format } from '../../../host/exchange/exchange-row.js';
import { fullCsv, jsonLines, lineProtocol, shortCsv } from '../../../host/exchange/index.js';
import { packBlock, unpackBlock } from '../../../host/store/codec/block.js';
import { columnsFromRows } from '../../../host/store/codec/columns.js';
import { firstEngineCards, parseFromNode, receiveFrames } from '../../../node/index.js';
import { encodeFrame } from '../../../node/link/frame.js';
import type { FromNode } from '../../../node/link/messages.js';
import { seed, shortOrLong } from '../../long-form.js';
import { card, reading, startAt } from '../store/made-readings.js';
import { mutator } from './mutate.js';

const count = shortOrLong(10_000, 1_000_000);
console.info(`seed ${seed}`);

const thermocouple = { raw: 1234.5, rawUnit: 'microvolt', coldJunctionC: 25.0625 } as const;
const rows = [
  reading('port-elbow', startAt),
  reading('starboard-gas', startAt + 1001, { ...thermocouple, certificate: 'starboard-gas@3' }),
  { probe: 'sea', at: startAt + 7, quality: 'no-answer' } as const,
];

const messages: FromNode[] = [
  { type: 'greeting', protocol: 2, node: 'engine-room', boot: 'b1', oldestSeq: 1, nextSeq: 9 },
  { type: 'answer', requestId: 'x', ok: true, detail: 'done' },
  ...[
    {
      kind: 'hello',
      boat: 'Invented',
      invented: true,
      engines: firstEngineCards,
      probes: [card('port-elbow')],
    } as const,
    { kind: 'readings', rate: 'second', rows } as const,
    { kind: 'alerts', at: startAt, alerts: [] } as const,
  ].map((message, i) => ({ type: 'message', node: 'engine-room', boot: 'b1', seq: i + 1, message }) as const),
];

describe('damaged input', () => {
  it(`link: of ${count} damaged frames none is taken for another than was sent`, async () => {
    const frames = messages.map((message) => Buffer.from(encodeFrame(message)));
    const sent = new Set(messages.map((message) => JSON.stringify(message)));
    const mutate = mutator(seed);
    const wire = new PassThrough();
    let whole = 0;
    let damaged = 0;
    let odd: string | undefined;
    receiveFrames(wire, {
      onFrame: (value) => {
        whole++;
        const text = JSON.stringify(value);
        if (!sent.has(text) || !parseFromNode(value)) odd ??= text;
      },
      onDamaged: () => {
        damaged++;
      },
    });
    for (let i = 0; i < count; i++) {
      const frame = mutate(frames);
      if (!wire.write(i % 7 === 0 ? Buffer.concat([frame, Buffer.from('\n')]) : frame))
        await new Promise((resolve) => wire.once('drain', resolve));
    }
    await new Promise((resolve) => wire.end(resolve));
    expect(odd).toBeUndefined();
    // The mutations must reach both outcomes, or this proves nothing.
    expect(damaged).toBeGreaterThan(count / 10);
    expect(whole).toBeGreaterThan(count / 1000);
  }, 1_800_000);

  const formats: Record<string, Format> = { shortCsv, fullCsv, jsonLines, lineProtocol };
  for (const [name, format] of Object.entries(formats))
    it(`import, ${name}: of ${count / 4} damaged lines each is a valid reading or a sentence`, () => {
      const lines = rows.map((row) =>
        Buffer.from(format.write({ node: 'engine-room', rate: 'second', reading: row })),
      );
      const mutate = mutator(seed + 1);
      let refused = 0;
      let odd: string | undefined;
      for (let i = 0; i < count / 4; i++) {
        const line = mutate(lines).toString();
        const read = format.read(line);
        if (typeof read === 'string') {
          refused++;
          if (read === '') odd ??= line;
          continue;
        }
        // What was taken must be sound enough to go out and come in again as itself.
        const again = format.read(format.write(read));
        if (JSON.stringify(again) !== JSON.stringify(read)) odd ??= line;
      }
      expect(odd).toBeUndefined();
      expect(refused).toBeGreaterThan(count / 20);
      expect(refused).toBeLessThan(count / 4);
    }, 1_800_000);

  it(`store: of ${count / 10} damaged blocks none is unpacked`, () => {
    const many = Array.from({ length: 60 }, (_, i) => reading('port-elbow', startAt + i * 1000));
    const block = packBlock(columnsFromRows(many, () => 0));
    const mutate = mutator(seed + 2);
    const [trace, rest] = [Buffer.from(block.trace), Buffer.from(block.rest)];
    let taken = 0;
    let otherError: unknown;
    for (let i = 0; i < count / 10; i++) {
      const bytes = mutate([i % 2 === 0 ? trace : rest]);
      const same = bytes.equals(i % 2 === 0 ? trace : rest);
      try {
        unpackBlock(i % 2 === 0 ? { ...block, trace: bytes } : { ...block, rest: bytes });
        if (!same) taken++;
      } catch (error) {
        if (!(error instanceof RangeError)) otherError ??= error;
      }
    }
    expect({ taken, otherError }).toEqual({ taken: 0, otherError: undefined });
  }, 1_800_000);
});
