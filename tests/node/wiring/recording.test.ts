import { appendFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { benchKitYaml } from '../../../node/bench/index.js';
import { NodeError } from '../../../node/errors/node-error.js';
import type { Sensed } from '../../../node/sense/senses.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { RecordingWriter, readRecording } from '../../../node/wiring/recording.js';
import { replaySenses } from '../../../node/wiring/replay-senses.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-recording-'));
afterAll(() => rmSync(folder, { recursive: true }));
let files = 0;
const fresh = () => join(folder, `${++files}.jsonl`);

const pass = (atMs: number): Sensed => ({
  atMs: asMonotonicMs(atMs),
  board: 'connected',
  running: { port: true },
  referencePin: 'well',
  complete: true,
  sampled: [
    {
      probe: 'port-exhaust',
      atMs: asMonotonicMs(atMs - 3.25),
      sample: { kind: 'thermocouple', emfMicrovolts: 9_936, coldJunctionC: 33.8125 },
    },
  ],
});
const record = (passes: readonly Sensed[]): string => {
  const path = fresh();
  const writer = new RecordingWriter(path, { startedAt: 1_000, kit: benchKitYaml });
  for (const one of passes) writer.add(one);
  writer.close();
  return path;
};

describe('a recording', () => {
  test('gives back the kit and every pass exactly', () => {
    const passes = [pass(100), pass(200), pass(300)];
    const recording = readRecording(record(passes));
    expect(recording.passes).toEqual(passes);
    expect(recording).toMatchObject({ startedAt: 1_000, kitText: benchKitYaml });
    expect(recording.kit.boat.name).toBe('Marsh Harrier');
  });

  test('whose last line was cut off by a power cut loses that line alone', () => {
    const path = record([pass(100)]);
    appendFileSync(path, '{"atMs":200,"sam');
    expect(readRecording(path).passes).toHaveLength(1);
  });

  test('of version 0.1, which calls the reference pin a canary, is read', () => {
    const { referencePin: _, ...rest } = pass(100);
    const old = { ...rest, canary: 'astray', sampled: [{ ...rest.sampled[0], canaryAstray: true }] };
    const path = record([]);
    appendFileSync(path, `${JSON.stringify(old)}\n`);
    expect(readRecording(path).passes).toMatchObject([
      { referencePin: 'off', sampled: [{ probe: 'port-exhaust', referencePinOff: true }] },
    ]);
  });

  test('never overwrites a file', () => {
    const path = fresh();
    writeFileSync(path, 'precious');
    expect(() => new RecordingWriter(path, { startedAt: 0, kit: '' })).toThrow(/exists already/);
    expect(readFileSync(path, 'utf8')).toBe('precious');
  });

  test.each([
    ['an empty file', '', /line 1|first line/],
    ['something else', '{"hello":1}\n', /is not a recording/],
    [
      'a damaged line',
      `${JSON.stringify({ recording: 1, startedAt: 0, kit: benchKitYaml })}\nxx\n`,
      /line 2: this is not JSON/,
    ],
    [
      'a line that is no pass',
      `${JSON.stringify({ recording: 1, startedAt: 0, kit: benchKitYaml })}\n{}\n`,
      /line 2: this is not a pass/,
    ],
    [
      'a kit that cannot be used',
      `${JSON.stringify({ recording: 1, startedAt: 0, kit: 'kit: 2' })}\n`,
      /the kit in .* cannot be used/,
    ],
  ])('refuses %s and says where', (_, text, words) => {
    const path = fresh();
    writeFileSync(path, text);
    expect(() => readRecording(path)).toThrow(words);
    expect(() => readRecording(path)).toThrow(NodeError);
  });
});

describe('a replay', () => {
  const rig = () => {
    const recording = readRecording(record([pass(5_100), pass(5_200), pass(5_300)]));
    let nowMs = 70_000;
    const take = replaySenses(recording, {
      monotonicMs: () => asMonotonicMs(nowMs),
      wallMs: () => asWallMs(0),
    });
    return (ms: number) => {
      nowMs += ms;
      return take();
    };
  };

  test('gives each pass at its own time, moved to the present, and each sample once', () => {
    const at = rig();
    const first = at(0);
    expect(first.atMs).toBe(70_000);
    expect(first.sampled[0]?.atMs).toBeCloseTo(69_996.75, 6);
    expect(at(50).sampled).toEqual([]);
    expect(at(50).sampled[0]?.atMs).toBeCloseTo(70_096.75, 6);
    expect(at(100).sampled).toHaveLength(1);
  });

  test('in a hurry gives together what is due', () => {
    const at = rig();
    expect(at(200).sampled).toHaveLength(3);
  });

  test('that is over is a board that is lost, not a boat at rest', () => {
    const at = rig();
    at(200);
    expect(at(100)).toMatchObject({ board: 'lost', sampled: [], complete: false });
  });
});
