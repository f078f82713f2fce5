import { expect, it } from 'vitest';
import { baselineText } from '../../../host/commission/baseline-text.js';
import { guard } from '../../../node/guard/guard.js';
import { startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { assess, CommissionBook, parseBaseline } from '../../../node/index.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';

const settings: GuardSettings = {
  probes: [
    { id: 'elbow', name: 'Elbow', engine: 'port', place: 'wet-elbow', mounting: 'well' },
    { id: 'gas', name: 'Gas', engine: 'port', place: 'dry-exhaust', mounting: 'free' },
    { id: 'sea', name: 'Sea', engine: 'all', place: 'sea-water', mounting: 'free' },
  ],
  engines: twinEngines('port'),
  escalateAfterS: 120,
  tuning: learnedTuning,
};

/** A value that runs straight from point to point of a script, each a time in s and a value. */
const along =
  (...script: readonly (readonly [s: number, value: number])[]) =>
  (s: number) => {
    const next = script.findIndex(([at]) => at > s);
    const [fromS, from] = script[next < 0 ? script.length - 1 : Math.max(0, next - 1)] ?? [0, 0];
    const [toS, to] = script[next] ?? [fromS, from];
    return toS > fromS ? from + ((to - from) * (s - fromS)) / (toS - fromS) : from;
  };

/** The elbow rises by 0.4 K/s, then by 0.8, and by 1.5 as it swells beside the gas of a throttle that was closed. */
const trip: Readonly<Record<string, (s: number) => number>> = {
  elbow: along(
    [0, 30],
    [200, 30],
    [230, 42],
    [350, 30],
    [450, 30],
    [480, 54],
    [600, 30],
    [705, 30],
    [719, 51],
    [850, 30],
    [900, 30],
  ),
  gas: along([0, 400], [700, 400], [710, 200], [900, 200]),
  sea: () => 15,
};

it('the file of a commissioning says how fast the elbow rose at most in normal running, a closed throttle aside', () => {
  const book = new CommissionBook(settings);
  let state = startGuard(asMonotonicMs(0));
  for (let ms = 0; ms < 900_000; ms += 250) {
    const nowMs = asMonotonicMs(ms);
    const readings = Object.entries(trip).map(
      ([probe, at]): Reading => ({
        probe,
        readAtMs: nowMs,
        result: {
          kind: 'measured',
          quantity: 'temperature',
          temperatureC: at(ms / 1000) + 0.01 * Math.sin(ms),
          uncertaintyC: 0.3,
        },
      }),
    );
    ({ state } = guard(state, { nowMs, readings, running: { port: true }, board: 'connected' }, settings));
    book.take(state);
  }
  const written = baselineText({
    baseline: 1,
    issue: 1,
    boat: 'Invented',
    madeAt: '2026-05-02T00:00:00Z',
    learnedFrom: { from: '2026-05-01T00:00:00Z', to: '2026-05-01T00:15:00Z', trips: 1 },
    elbows: assess(book, settings, undefined).elbows,
  });
  expect(parseBaseline(written, 'baseline.yaml').elbows.elbow?.fastestCPerS).toBeCloseTo(0.8, 1);
});
