import { describe, expect, it } from 'vitest';
import { replay } from '../../../host/replay/replay.js';
import { tripsWanted } from '../../../node/commission/lacks.js';
import { assess, type BaselineFile, CommissionBook, settingsFromKit } from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { recordBoat } from '../replay/record-boat.js';

/** One engine whose only gas probe sits before its turbocharger. */
const kit = parseKit(
  `kit: 1
boat: { name: Invented, invented: true }
board: { connection: bench }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 7 }
engines:
  - { id: main, name: Main, kind: propulsion, ratedKw: 150, runningInput: { pin: 2 } }
probes:
  - { id: elbow, name: Elbow, engine: main, place: wet-elbow, mounting: well, channel: { kind: mcp960x, address: 0x60 } }
  - { id: gas, name: Gas, engine: main, place: before-turbo, mounting: free, channel: { kind: mcp960x, address: 0x61 } }
  - { id: sea, name: Sea, place: sea-water, mounting: free, channel: { kind: mcp960x, address: 0x64 } }
`,
  'test kit',
);
const settings = settingsFromKit(kit);
const startAt = Date.parse('2026-05-01T00:00:00Z');
const cycleS = 3600;
const levers: readonly (readonly [s: number, value: number])[] = [
  [10, 0.06],
  [240, 0.3],
  [600, 0.8],
  [1200, 0.06],
  [1260, 1],
  [1500, 0.6],
  [2300, 0.06],
  [2500, 0],
];

describe('a gas probe before the turbocharger', () => {
  const book = new CommissionBook(settings);
  const trips = recordBoat(kit, startAt, tripsWanted * cycleS, (plant, s) => {
    for (const [at, value] of levers) if (s % cycleS === at) plant.setThrottle('main', value);
  });
  replay(trips, settings, (state) => book.take(state));
  const { elbows } = assess(book, settings, undefined);

  it('arms its elbow after six ordinary trips, with the hotter gas as what was learned', () => {
    expect(elbows.elbow).toMatchObject({ armed: true, because: [] });
    // The plant's gas before the turbine is up to 111 K hotter than behind it, which is 330 C at wide open.
    expect(elbows.elbow?.exhaustC.max).toBeGreaterThan(380);
  });

  it('finds a bag over the intake at cruise within 15 s, and nothing before it', () => {
    const bagAtS = 1000;
    const later = startAt + 30 * 86_400_000;
    const voyage = recordBoat(kit, later, 1200, (plant, s) => {
      for (const [at, value] of levers) if (s === at) plant.setThrottle('main', value);
      if (s === bagAtS) plant.bagIntake('main');
    });
    const learned = { baseline: 1, elbows } as unknown as BaselineFile;
    const alerts = replay(voyage, settingsFromKit(kit, learned)).alerts.map(({ id, at }) => ({
      id,
      afterS: (at - later) / 1000 - bagAtS,
    }));
    const first = alerts[0];
    expect(first?.id).toBe('cooling:main');
    expect(first?.afterS).toBeGreaterThan(0);
    expect(first?.afterS).toBeLessThan(15);
  });
});
