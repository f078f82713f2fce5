import { afterEach, expect, test, vi } from 'vitest';
import { Heartbeat, heldForMs } from '../../../node/annunciator/heartbeat.js';
import { Pass } from '../../../node/pass/pass.js';
import { ProofOfWork } from '../../../node/pass/proof-of-work.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

afterEach(() => {
  vi.restoreAllMocks();
});

/** The answers of this many steps, each kind once. */
const answers = (proof: ProofOfWork, steps: number) =>
  new Set(Array.from({ length: steps }, () => proof.step()));

test('the proof holds over many cycles of a guard that works', () => {
  expect([...answers(new ProofOfWork(), 400)]).toEqual([undefined]);
});

const really = Pass.prototype.run;
test.each([
  [
    'judges nothing',
    /did not sound the alarm/,
    (result: ReturnType<typeof really>) => ({ ...result, alerts: [], annunciation: { soundingIds: [] } }),
  ],
  [
    'converts everything 1 K too cold',
    /a known (40 C was converted to 3|100 C was converted to 9)[89]\./,
    (result: ReturnType<typeof really>) => ({
      ...result,
      readings: result.readings.map((reading) =>
        reading.result.kind === 'measured' && reading.result.quantity === 'temperature'
          ? { ...reading, result: { ...reading.result, temperatureC: reading.result.temperatureC - 1 } }
          : reading,
      ),
    }),
  ],
  [
    'sounds nothing',
    /did not sound the alarm/,
    (result: ReturnType<typeof really>) => ({ ...result, annunciation: { soundingIds: [] } }),
  ],
  [
    'lets the heartbeat run for a blind engine',
    /did not stop the heartbeat/,
    ({ annunciation: { heartStops: _, ...rest }, ...result }: ReturnType<typeof really>) => ({
      ...result,
      annunciation: rest,
    }),
  ],
  [
    'loses readings',
    /gave 2 readings/,
    (r: ReturnType<typeof really>) => ({ ...r, readings: r.readings.slice(1) }),
  ],
  ['forgets', /lost its memory/, (r: ReturnType<typeof really>) => ({ ...r, forgotten: 'something' })],
  [
    'throws',
    /failed on a known boat: no/,
    () => {
      throw new Error('no');
    },
  ],
])('a guard that %s is found within one cycle', (_, words, spoil) => {
  const proof = new ProofOfWork();
  const run = vi.spyOn(Pass.prototype, 'run').mockImplementation(function (this: Pass, ...given) {
    return spoil(really.apply(this, given)) as ReturnType<typeof really>;
  });
  const found = [...answers(proof, 40)].filter((one) => one !== undefined);
  expect(found.join('; ')).toMatch(words);
  // It is believed again only after a whole cycle without a fault.
  run.mockRestore();
  expect(proof.step()).toMatch(words);
  expect([...answers(proof, 80)].at(-1)).toBeUndefined();
  expect([...answers(proof, 80)]).toEqual([undefined]);
});

test('a guard that does not work at its start is known before the first pass', () => {
  vi.spyOn(Pass.prototype, 'run').mockImplementation(() => {
    throw new Error('no');
  });
  expect(new ProofOfWork().step()).toMatch(/failed on a known boat/);
});

test('a heartbeat that is too fast is held until the circuit has sounded, and a late pass is no race', () => {
  const heartbeat = new Heartbeat(10);
  const at = (ms: number) => heartbeat.heldBy(asMonotonicMs(ms), []);
  let ms = 0;
  for (let i = 0; i < 200; i++) {
    // Every second pass late by 80 ms, the next early by as much.
    expect(at(ms)).toBeUndefined();
    ms += i % 2 ? 20 : 180;
  }
  const raced: number[] = [];
  for (const startMs = ms; ms < startMs + 2_000; ms += 20) if (at(ms) !== undefined) raced.push(ms - startMs);
  expect(raced[0]).toBeLessThan(600);
  let last = 0;
  for (const startMs = ms; ms < startMs + 20_000; ms += 100) if (at(ms) !== undefined) last = ms - startMs;
  expect(last).toBeGreaterThan(heldForMs - 2_000);
  expect(last).toBeLessThan(heldForMs + 2_000);
});
