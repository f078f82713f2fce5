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
export const along =
  (...script: readonly (readonly [s: number, value: number])[]) =>
  (s: number) => {
    const next = script.findIndex(([at]) => at > s);
    const [fromS, from] = script[next < 0 ? script.length - 1 : Math.max(0, next - 1)] ?? [0, 0];
    const [toS, to] = script[next] ?? [fromS, from];
    return toS > fromS ? from + ((to - from) * (s - fromS)) / (toS - fromS) : from;
  };

type Script = {
  readonly untilS: number;
  readonly stepMs: number;
  readonly isRunning: (s: number) => boolean;
  /** What each probe reads, C. */
  readonly reads: Readonly<Record<string, (s: number) => number>>;
};

/** What the file of a commissioning says of the elbows, after one engine was run by a script; written and read back. */
export const commissioned = ({ untilS, stepMs, isRunning, reads }: Script) => {
  const book = new CommissionBook(settings);
  let state = startGuard(asMonotonicMs(0));
  for (let ms = 0; ms < untilS * 1000; ms += stepMs) {
    const nowMs = asMonotonicMs(ms);
    const readings = Object.entries(reads).map(
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
    const running = { port: isRunning(ms / 1000) };
    ({ state } = guard(state, { nowMs, readings, running, board: 'connected' }, settings));
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
  return parseBaseline(written, 'baseline.yaml').elbows;
};
