import { describe, expect, it } from 'vitest';
import { replay } from '../../../host/replay/replay.js';
import { tripsWanted } from '../../../node/commission/lacks.js';
import { assess, type BaselineFile, CommissionBook, settingsFromKit } from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { recordBoat } from '../replay/record-boat.js';
import { trial } from './sea-trial.js';

/** One propulsion engine, which has no twin, and a generator set; each with a ring, as planned for most boats. */
const kit = parseKit(
  `kit: 1
boat: { name: Invented, invented: true }
board: { connection: bench }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 7 }
engines:
  - { id: main, name: Old Faithful, kind: propulsion, ratedKw: 90, runningInput: { pin: 2 } }
  - { id: generator, name: Generator, kind: generator, ratedKw: 16, runningInput: { pin: 3 } }
probes:
  - { id: main-elbow, name: Main elbow, engine: main, place: wet-elbow, channel: { kind: mcp960x, address: 0x60 } }
  - { id: main-gas, name: Main gas, engine: main, place: dry-exhaust, mounting: free, channel: { kind: mcp960x, address: 0x61 } }
  - { id: generator-elbow, name: Generator elbow, engine: generator, place: wet-elbow, channel: { kind: mcp960x, address: 0x62 } }
  - { id: generator-gas, name: Generator gas, engine: generator, place: dry-exhaust, mounting: free, channel: { kind: mcp960x, address: 0x63 } }
  - { id: sea, name: Sea, place: sea-water, mounting: free, channel: { kind: mcp960x, address: 0x64 } }
`,
  'test kit',
);
const settings = settingsFromKit(kit);
const startAt = Date.parse('2026-05-01T00:00:00Z');

const nightS = 7 * 3600;
const cycleS = 4800;

describe('commissioning an engine that has no twin, and a generator set', () => {
  const book = new CommissionBook(settings);
  const history = recordBoat(kit, startAt, nightS + tripsWanted * cycleS, (plant, s) => {
    const inCycle = (s - nightS) % cycleS;
    for (const [at, value] of trial)
      if (s >= nightS && inCycle === at) for (const { id } of kit.engines) plant.setThrottle(id, value);
  });
  const commissioning = replay(history, settings, (state) => book.take(state));
  const { elbows, steps } = assess(book, settings, {
    confirmedAt: '2026-05-02T00:00:00Z',
    dipped: ['main-elbow', 'generator-elbow'],
  });
  const baseline: BaselineFile = {
    baseline: 1,
    issue: 1,
    boat: 'Invented',
    madeAt: '2026-05-02T00:00:00Z',
    learnedFrom: { from: '2026-05-01T00:00:00Z', to: '2026-05-02T00:00:00Z', trips: tripsWanted },
    elbows,
  };

  it('six trials arm both, each with a baseline of its own and none against a twin', () => {
    expect(steps.filter(({ done }) => !done)).toEqual([]);
    expect(Object.entries(elbows).map(([id, { armed, twinExhaust }]) => [id, armed, twinExhaust])).toEqual([
      ['main-elbow', true, undefined],
      ['generator-elbow', true, undefined],
    ]);
    expect(commissioning.alerts).toEqual([]);
    expect(elbows['main-elbow']?.coefficients).not.toEqual(elbows['generator-elbow']?.coefficients);
  });

  it('before the trials the generator is asked for loads, with the caution for its exhaust, and not for open water', () => {
    const none = assess(new CommissionBook(settings), settings, undefined);
    const next = (probe: string) => none.steps.find(({ name }) => name.endsWith(probe))?.next ?? '';
    expect(next('generator-elbow')).toMatch(/carbon monoxide.*large load/);
    expect(next('generator-elbow')).not.toContain('open water');
    expect(next('main-elbow')).toContain('open water');
    expect(none.unfitted['generator-elbow']?.join()).toContain('large loads switched on at once');
  });

  /** A trip of an hour with other loads than the trial's; the bag is over both intakes from `bagAtS`. */
  const trip = (bagAtS: number, seed: number) => {
    const recorded = recordBoat(
      kit,
      startAt + 40 * 86_400_000,
      3600,
      (plant, s) => {
        const step = [0.06, 0.5, 0.3, 0.9, 0.65, 0.75][Math.floor(s / 400)];
        if (s % 400 === 10 && step !== undefined)
          for (const { id } of kit.engines) plant.setThrottle(id, step);
        if (s === bagAtS) for (const { id } of kit.engines) plant.bagIntake(id);
      },
      seed,
    );
    return replay(recorded, settingsFromKit(kit, baseline)).alerts;
  };

  it('a healthy trip with other loads raises nothing', () => {
    for (const seed of [11, 12, 13]) expect(trip(Number.POSITIVE_INFINITY, seed)).toEqual([]);
  });

  it('a bag over both intakes is found on each by itself within 40 s, by its owner’s name', () => {
    const bagAtS = 3000;
    const found = trip(bagAtS, 14).filter(({ id }) => id.startsWith('cooling:'));
    expect(found.map(({ id }) => id).sort()).toEqual(['cooling:generator', 'cooling:main']);
    for (const { id, at, actions } of found) {
      const afterS = (at - startAt - 40 * 86_400_000) / 1000 - bagAtS;
      console.log(`${id}: ${afterS.toFixed(0)} s after the bag (ring, three quarters of the load)`);
      expect(afterS).toBeGreaterThan(0);
      expect(afterS).toBeLessThan(40);
      expect(actions.join(' ')).toMatch(
        id === 'cooling:main' ? /the Old Faithful engine/ : /Take .*load off the Generator/,
      );
    }
  });
});
