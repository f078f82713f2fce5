import { describe, expect, it } from 'vitest';
import {
  boilingBath,
  iceBath,
  progressOf,
  type Session,
  startSession,
  stepSession,
  thermistorOhms,
} from '../../calibration/index.js';
import { assess } from '../../calibration/session/settling.js';
import { chance } from './coverage/chance.js';
import { nominalLaw, thermistorChain, trueLaw } from './made-points.js';

const rules = { holdS: 40, trendCPerMin: 0.15 };
const input = {
  name: 'Port',
  sensor: { kind: 'thermistor', law: nominalLaw },
  chain: thermistorChain,
} as const;

const readAt = (session: Session, probe: string, atS: number, c: number): Session =>
  stepSession(session, {
    kind: 'reading',
    probe,
    atS,
    signal: { raw: thermistorOhms(trueLaw, c), rawUnit: 'ohm' },
  });

/** A probe of 6 s lag falling from 20 C into a bath, with noise; gives the second in which it counted as settled. */
function settle(
  session: Session,
  probe: string,
  goalC: number,
  { noiseC = 0.03, tauS = 6, seconds = 400, seed = 1 } = {},
): { session: Session; settledAtS: number | undefined } {
  const { bell } = chance(seed);
  let current = session;
  for (let s = 0; s < seconds; s++) {
    current = readAt(current, probe, s, goalC + (20 - goalC) * Math.exp(-s / tauS) + noiseC * bell());
    if (progressOf(current).find((p) => p.probe === probe)?.settled)
      return { session: current, settledAtS: s };
  }
  return { session: current, settledAtS: undefined };
}

describe('how long a probe still takes', () => {
  const begun = stepSession(startSession({ port: input }, rules), { kind: 'begin', bath: iceBath() });

  it.each([2, 6, 15, 25])(
    'with a lag of %d s is said within a third or twelve seconds, four times in five',
    (tauS) => {
      const { bell } = chance(7);
      const said: { atS: number; leftS: number }[] = [];
      let session = begun;
      let settledAtS: number | undefined;
      for (let s = 0; s < 600 && settledAtS === undefined; s++) {
        session = readAt(session, 'port', s, 20 * Math.exp(-s / tauS) + 0.02 * bell());
        const [progress] = progressOf(session);
        if (progress?.settled) settledAtS = s;
        else if (progress?.remainingS !== undefined) said.push({ atS: s, leftS: progress.remainingS });
      }
      // The truth is when it did settle.
      const wrong = said.filter(({ atS, leftS }) => {
        const trueS = (settledAtS ?? Number.NaN) - atS;
        return Math.abs(leftS - trueS) > Math.max(12, trueS / 3);
      });
      expect(said.length).toBeGreaterThan(10);
      expect(wrong.length / said.length).toBeLessThan(0.2);
      expect(progressOf(session)[0]?.remainingS).toBe(0);
    },
  );

  it('nothing is said while it cannot be estimated: too few readings, or a trend that does not shrink', () => {
    const saidAfter = (seconds: number) => {
      let session = begun;
      for (let s = 0; s < seconds; s++) session = readAt(session, 'port', s, 0.05 * s);
      return progressOf(session)[0]?.remainingS;
    };
    expect(saidAfter(4)).toBeUndefined();
    expect(saidAfter(80)).toBeUndefined();
  });
});

describe('when a probe has settled', () => {
  const begun = stepSession(startSession({ port: input }, rules), { kind: 'begin', bath: iceBath() });

  it('not before the hold is over and the approach is over, and then within 0.05 C of the bath', () => {
    for (const tauS of [2, 6, 15]) {
      const { session, settledAtS } = settle(begun, 'port', 0, { tauS });
      expect(settledAtS).toBeGreaterThan(rules.holdS);
      const [point] =
        stepSession(session, { kind: 'take', takenAt: '2026-01-01T00:00:00Z' }).points.port ?? [];
      const truth = thermistorOhms(trueLaw, 0);
      // 0.05 C is 0.26 % of the resistance at 0 C.
      expect(Math.abs((point?.signal.raw as number) / truth - 1), `tau ${tauS}`).toBeLessThan(0.0026);
    }
  });

  it('a noisier probe is watched longer, and one that drifts 0.5 C a minute never settles', () => {
    const quiet = settle(begun, 'port', 0, { noiseC: 0.02 }).settledAtS as number;
    const noisy = settle(begun, 'port', 0, { noiseC: 0.2 }).settledAtS as number;
    expect(noisy).toBeGreaterThan(quiet + 20);
    let drifting = begun;
    for (let s = 0; s < 600; s++) {
      drifting = readAt(drifting, 'port', s, 0.01 + (0.5 / 60) * (s % 600));
      expect(progressOf(drifting)[0]?.settled).toBe(false);
    }
  });

  it('outliers are set aside and counted; too many of them are no settled probe', () => {
    const samples = (every: number) =>
      Array.from({ length: 100 }, (_, s) => ({
        atS: s,
        temperatureC: s % every === every - 1 ? 5 : 0.01 * Math.sin(s * 7),
      }));
    const few = assess(samples(25), rules);
    expect(few.settled).toBe(true);
    expect(few.outliers).toBeGreaterThan(0);
    expect(few.meanC).toBeLessThan(0.05);
    expect(assess(samples(6), rules).settled).toBe(false);
  });

  it('a probe that is not in the bath does not settle, however still it reads', () => {
    let session = begun;
    for (let s = 0; s < 200; s++) session = readAt(session, 'port', s, 19);
    expect(progressOf(session)[0]).toMatchObject({ settled: false });
    expect(progressOf(session)[0]?.missing).toMatch(/elsewhere: reads 1\d\.\d C/);
  });

  it('one lost second costs nothing, a board disconnected for 20 s starts the stretch again', () => {
    let session = begun;
    for (let s = 0; s < 30; s++) session = readAt(session, 'port', s, 0);
    session = stepSession(session, { kind: 'missing', probe: 'port', why: 'stale' });
    for (let s = 31; s < 45; s++) session = readAt(session, 'port', s, 0);
    expect(progressOf(session)[0]).toMatchObject({ settled: true, restarts: 0 });
    session = stepSession(session, { kind: 'missing', probe: 'port', why: 'board-away' });
    session = readAt(session, 'port', 65, 0);
    expect(progressOf(session)[0]).toMatchObject({ settled: false, restarts: 1 });
    for (let s = 66; s < 110; s++) session = readAt(session, 'port', s, 0);
    expect(progressOf(session)[0]?.settled).toBe(true);
  });
});

describe('the session', () => {
  it('takes several probes at once, refuses the unsettled and says why, over two baths', () => {
    let session = startSession({ port: input, starboard: input }, rules);
    session = stepSession(session, { kind: 'begin', bath: iceBath() });
    session = settle(session, 'port', 0).session;
    session = readAt(session, 'starboard', 0, 3);
    session = stepSession(session, { kind: 'take', takenAt: '2026-01-01T00:00:00Z' });
    expect(session.points.port?.length).toBe(1);
    expect(session.points.starboard).toBeUndefined();
    expect(session.refusals).toMatchObject([{ probe: 'starboard', bath: 'ice' }]);

    const boiling = boilingBath({ from: 'station', hectopascals: 1009 });
    session = stepSession(session, { kind: 'begin', bath: boiling });
    for (const probe of ['port', 'starboard']) session = settle(session, probe, boiling.temperatureC).session;
    session = stepSession(session, { kind: 'take', takenAt: '2026-01-01T00:10:00Z' });
    expect(session.points.port?.map((p) => p.kind)).toEqual(['ice', 'boiling']);
    expect(session.points.starboard?.map((p) => p.kind)).toEqual(['boiling']);
    expect(session.bath).toBeUndefined();
  });

  it('is plain data: written down and read back in the middle of a bath it continues to the same points', () => {
    const begun = stepSession(startSession({ port: input }, rules), { kind: 'begin', bath: iceBath() });
    let [a, b] = [begun, begun];
    for (let s = 0; s < 120; s++) {
      const c = 20 * Math.exp(-s / 6);
      a = readAt(a, 'port', s, c);
      b = readAt(JSON.parse(JSON.stringify(b)), 'port', s, c);
    }
    const take = { kind: 'take', takenAt: '2026-01-01T00:00:00Z' } as const;
    expect(stepSession(b, take)).toEqual(stepSession(a, take));
    expect(stepSession(a, take).points.port?.length).toBe(1);
  });

  it('passes over probes it does not know and readings outside a bath, and refuses to start without probes', () => {
    const session = startSession({ port: input }, rules);
    expect(readAt(session, 'port', 1, 0)).toBe(session);
    const begun = stepSession(session, { kind: 'begin', bath: iceBath() });
    expect(readAt(begun, 'unknown', 1, 0)).toBe(begun);
    expect(() => startSession({}, rules)).toThrow(/at least one probe/);
  });
});
