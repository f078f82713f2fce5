import { describe, expect, it } from 'vitest';
import { thermistorOhms } from '../../../calibration/index.js';
import { converterFor } from '../../../node/convert/converter.js';
import { guard, resumeGuard, startGuard } from '../../../node/guard/guard.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const law = { law: 'beta', r25Ohms: 10_000, betaK: 3950 } as const;
const divider = (pin: string) =>
  `{kind: ntc-divider, pin: ${pin}, resistorOhms: 2200, thermistor: {law: beta, r25Ohms: 10000, betaK: 3950}}`;
const kit = parseKit(
  `kit: 1
boat: {name: Invented, invented: true}
board: {connection: bench}
outputs: {buzzerPin: 8, lampPin: 9, heartbeatPin: 7}
engines: {port: {runningInput: {pin: 2}}, starboard: {runningInput: {pin: 3}}}
probes:
  - {id: port-elbow, name: Port elbow, engine: port, place: wet-elbow, channel: ${divider('A0')}}
  - {id: starboard-elbow, name: Starboard elbow, engine: starboard, place: wet-elbow, channel: ${divider('A1')}}
  - {id: port-gas, name: Port gas, engine: port, place: dry-exhaust, mounting: free, channel: {kind: mcp960x, address: 0x60}}
  - {id: starboard-gas, name: Starboard gas, engine: starboard, place: dry-exhaust, mounting: free, channel: {kind: mcp960x, address: 0x61}}
`,
  'kit.yaml',
);
const settings = settingsFromKit(kit);

type Boat = {
  readonly portC: number;
  readonly starboardC: number;
  readonly airC?: number;
  /** How far the gas of both engines is above the amplifiers, K. */
  readonly gasAboveK?: number;
  readonly running?: boolean;
};

/** What a divider that has `fittedOhms` where the kit says 2200 makes of a thermistor. */
function reads(trueC: number, fittedOhms: number): number {
  const probe = kit.probes[0];
  if (!probe) throw new Error('no probe');
  const ohms = thermistorOhms(law, trueC);
  const { result } = converterFor(probe).convert({
    probe: probe.id,
    atMs: asMonotonicMs(0),
    sample: {
      kind: 'counts',
      counts: (1024 * ohms) / (ohms + fittedOhms),
      fullScale: 1024,
      noiseCounts: 0.5,
      taken: 10,
      strays: 0,
    },
  });
  if (result.kind !== 'measured' || result.quantity !== 'temperature')
    throw new Error(JSON.stringify(result));
  return result.temperatureC;
}

function lies(
  boats: readonly (readonly [forS: number, boat: Boat])[],
  from = startGuard(asMonotonicMs(0)),
  inForce = settings,
) {
  let state = from;
  let nowMs: number = state.atMs;
  let reportedAtS: number | undefined;
  for (const [forS, { portC, starboardC, airC = 20, gasAboveK = 0.5, running = false }] of boats)
    for (const endMs = nowMs + forS * 1000; nowMs < endMs; ) {
      nowMs += 1000;
      const readAtMs = asMonotonicMs(nowMs);
      // Neither converter is so quiet that its count never changes.
      const ripple = (nowMs / 1000) % 2 ? 0.1 : 0;
      const reading = (probe: string, temperatureC: number, coldJunctionC?: number): Reading => ({
        probe,
        readAtMs,
        signal: { raw: temperatureC, rawUnit: 'ohm', ...(coldJunctionC !== undefined && { coldJunctionC }) },
        result: {
          kind: 'measured',
          quantity: 'temperature',
          temperatureC: temperatureC + ripple,
          uncertaintyC: 0.3,
        },
      });
      const readings = [
        reading('port-elbow', portC),
        reading('starboard-elbow', starboardC),
        reading('port-gas', airC + gasAboveK, airC),
        reading('starboard-gas', airC + 1 + gasAboveK, airC + 1),
      ];
      const given = { port: running, starboard: running };
      state = guard(state, { nowMs: readAtMs, readings, running: given, board: 'connected' }, inForce).state;
      if (state.dividers.reportedK !== undefined) reportedAtS ??= nowMs / 1000;
    }
  const alerts = state.entries.flatMap(({ alert }) => (alert.id === 'probe-fault:dividers' ? [alert] : []));
  return { reportedAtS, state, alerts };
}

describe('dividers that cannot all be right', () => {
  it('4.7 kohm fitted where the kit says 2.2: both elbows 17 K too warm, reported after ten cold minutes', () => {
    const portC = reads(20, 4700);
    const starboardC = reads(21, 4700);
    expect(portC).toBeGreaterThan(36);
    const { reportedAtS, alerts } = lies([[700, { portC, starboardC }]]);
    expect(reportedAtS).toBe(600);
    expect(alerts).toMatchObject([
      {
        id: 'probe-fault:dividers',
        rule: 'dividers-implausible',
        priority: 'caution',
        state: 'unacknowledged',
      },
    ]);
    expect(alerts[0]?.message).toMatch(/about 17 K warmer than the amplifiers beside them/);
    expect(alerts[0]?.actions.join(' ')).toMatch(/elbowroom wiring/);
  });

  it('220 ohm fitted: the next decade, 45 K too cold and more, reported too', () => {
    const portC = reads(20, 220);
    expect(portC).toBeLessThan(-20);
    expect(lies([[700, { portC, starboardC: portC }]]).reportedAtS).toBe(600);
  });

  it('1 kohm fitted: 15 K too cold, as winter’s sea in an elbow may honestly be; left to elbowroom wiring', () => {
    const portC = reads(20, 1000);
    expect(portC).toBeGreaterThan(20 - 18);
    expect(lies([[3600, { portC, starboardC: portC }]]).reportedAtS).toBeUndefined();
  });

  it('stays active through a voyage and a restart, and goes when the elbows have been near the air for ten cold minutes', () => {
    const wrong = { portC: 37.5, starboardC: 38 };
    const shown = lies([
      [700, wrong],
      [900, { portC: 60, starboardC: 62, gasAboveK: 250, running: true }],
    ]);
    expect(shown.alerts.map(({ state }) => state)).toEqual(['unacknowledged']);
    const { state } = resumeGuard(JSON.parse(JSON.stringify(shown.state)), shown.state.atMs, 1000);
    const later = lies([[599, { portC: 20, starboardC: 20 }]], state);
    expect(later.alerts.map(({ state: life }) => life)).toEqual(['unacknowledged']);
    expect(
      lies([[5, { portC: 20, starboardC: 20 }]], later.state).alerts.map(({ state: life }) => life),
    ).toEqual(['rectified']);
  });

  it('is taken back when the kit has no witness for it any more', () => {
    const shown = lies([[700, { portC: 37.5, starboardC: 38 }]]);
    const amplifiersGone = {
      ...settings,
      probes: settings.probes.filter(({ input }) => input !== 'amplifier'),
    };
    const later = lies([[1, { portC: 37.5, starboardC: 38 }]], shown.state, amplifiersGone);
    expect(later.alerts).toMatchObject([{ rule: 'dividers-implausible', state: 'rectified' }]);
  });

  it('two elbow probes in ice for a quarter of an hour look the same: the caution says so, and goes once they are out', () => {
    const shown = lies([[900, { portC: 0, starboardC: 0.1 }]]);
    expect(shown.alerts[0]?.actions[0]).toMatch(/bath/);
    expect(lies([[605, { portC: 20, starboardC: 20 }]], shown.state).alerts).toMatchObject([
      { state: 'rectified' },
    ]);
  });

  it.each<[string, Boat]>([
    ['a cold boat', { portC: 20, starboardC: 20.5 }],
    ['a winter’s morning', { portC: -6, starboardC: -6.5, airC: -8 }],
    ['a heated engine room, and elbows full of a sea of 4 C', { portC: 6, starboardC: 5, airC: 20 }],
    ['electronics in the sun', { portC: 22, starboardC: 22, airC: 38 }],
    [
      'an hour after a stop: elbows and manifolds still warm',
      { portC: 45, starboardC: 46, airC: 30, gasAboveK: 20 },
    ],
    ['one elbow wrong alone', { portC: 37.5, starboardC: 20 }],
    ['engines running', { portC: 37.5, starboardC: 38, running: true }],
  ])('says nothing of %s, for an hour', (_, boat) => {
    expect(lies([[3600, boat]]).reportedAtS).toBeUndefined();
  });
});
