import { describe, expect, it } from 'vitest';
import { type ExhaustMemory, stepExhaustMemory } from '../../../node/guard/exhaust-memory.js';
import { firstRunState, stepRunning } from '../../../node/guard/running.js';

describe('the running state', () => {
  const step = (forS: number, input: boolean | undefined, a: number, c: number, wired = true) => {
    let state = firstRunState;
    for (let s = 0; s < forS; s++)
      state = stepRunning(state, { wired, input, exhaust: { a, b: a, c }, dtS: 1 });
    return state;
  };
  it.each([
    ['no input wired', step(10, undefined, 250, 250, false), { phase: 'unsure' }],
    ['input not known yet', step(10, undefined, 250, 250), { phase: 'unsure' }],
    ['input on', step(10, true, 250, 250), { phase: 'running', disagreement: undefined }],
    ['input off, gas cold', step(200, false, 40, 40), { phase: 'stopped', disagreement: undefined }],
    [
      'input off, gas falling after a stop',
      step(200, false, 230, 250),
      { phase: 'stopped', disagreement: undefined },
    ],
    [
      'input stuck off while 250 C of gas stays for 90 s',
      step(100, false, 250, 250),
      { phase: 'running', disagreement: 'stuck-off' },
    ],
    [
      'input on, gas cold for 15 min',
      step(901, true, 30, 30),
      { phase: 'running', disagreement: 'stuck-on' },
    ],
  ])('%s', (_, state, expected) => {
    expect(state).toMatchObject(expected);
  });
});

describe('a running input that says stopped', () => {
  type Moment = { readonly input?: boolean; readonly elbowC?: number; readonly gasC?: number };
  /** Steps through an hour of moments, with the slope as the elbow has it. */
  const through = (forS: number, at: (s: number) => Moment, from = firstRunState) => {
    let state = from;
    let exhaust: ExhaustMemory | undefined;
    let deniedAtS: number | undefined;
    for (let s = 1; s <= forS; s++) {
      const { input = false, elbowC = 25, gasC } = at(s);
      const slopeCPerS = elbowC - (at(s - 1).elbowC ?? 25);
      if (gasC !== undefined) exhaust = stepExhaustMemory(exhaust, gasC, 1);
      const elbow = { elbowC, slopeCPerS, limitC: 82 };
      state = stepRunning(state, { wired: true, input, exhaust, elbow, dtS: 1 });
      if (state.disagreement === 'stuck-off') deniedAtS ??= s;
    }
    return { state, deniedAtS };
  };
  /** Runs for 100 s at 38 C; then heat soaks in, 40 K with a time constant of 200 s, and goes with an hour's. */
  const soak = (s: number) => 38 + 40 * (1 - Math.exp(-s / 200)) * Math.exp(-s / 3600);
  const stopped = (s: number): Moment => ({
    input: s <= 100,
    elbowC: s <= 100 ? 38 : soak(s - 100),
    gasC: s <= 100 ? 320 : 60 + 260 * Math.exp(-(s - 100) / 600),
  });

  it('is believed through a heat soak of 40 K and the hour after it, also from a burst of gas', () => {
    expect(through(7200, stopped).state).toMatchObject({ phase: 'stopped', disagreement: undefined });
    const burst = (s: number) => (s < 60 ? 150 : s <= 100 ? 450 : 60 + 390 * Math.exp(-(s - 100) / 300));
    const after = through(3600, (s) => ({ ...stopped(s), gasC: burst(s) }));
    expect(after.deniedAtS).toBeUndefined();
  });

  it('is not believed once the elbow is warmer than any sun makes it: 55 C, and nothing of a stop before', () => {
    const { state, deniedAtS } = through(400, (s) => ({ elbowC: 30 + Math.max(0, s - 100) * 0.1 }));
    expect(state).toMatchObject({ phase: 'unsure', disagreement: 'stuck-off', deniedBy: 'elbow' });
    expect(deniedAtS).toBeGreaterThan(350);
    expect(deniedAtS).toBeLessThan(365);
  });

  it('is not believed when the elbow rises by 0.4 K/s three minutes after the stop, or by 0.7 K/s sooner: no heat soak does', () => {
    const broken = (fromS: number, cPerS: number) => (s: number) => ({
      input: s <= 100,
      elbowC: 38 + Math.max(0, s - fromS) * cPerS,
    });
    expect(through(340, broken(300, 0.4)).deniedAtS).toBe(305);
    // But the riser of a small engine does while its gas falls.
    const cools = (s: number) => ({
      ...broken(300, 0.4)(s),
      gasC: s <= 100 ? 400 : 60 + 340 * Math.exp((100 - s) / 600),
    });
    expect(through(340, cools).deniedAtS).toBeUndefined();
    expect(through(340, (s) => ({ ...cools(s), ...broken(300, 0.7)(s) })).deniedAtS).toBe(305);
    expect(through(240, broken(200, 0.7)).deniedAtS).toBe(205);
  });

  it('is believed beside the heaviest manifold: 0.35 K/s at first, and 50 K in five minutes', () => {
    const heavy = (s: number) => ({
      input: s <= 100,
      elbowC: s <= 100 ? 41 : 41 + 52 * (1 - Math.exp(-(s - 100) / 148)),
    });
    expect(through(900, heavy).deniedAtS).toBeUndefined();
  });

  it('lost under way: five minutes without heat soak, and a slow rise to 55 C is not taken for one', () => {
    const broken = (s: number): Moment => ({ input: s <= 100, elbowC: 38 + Math.max(0, s - 500) * 0.05 });
    expect(through(1200, broken).deniedAtS).toBeCloseTo(500 + 17 / 0.05 + 10, -1);
  });

  it('is not believed when the gas rises: a start in cold water is known within a minute', () => {
    const cold = (s: number): Moment => ({ gasC: s <= 60 ? 20 : 20 + 110 * (1 - Math.exp(-(s - 60) / 20)) });
    const { state, deniedAtS } = through(300, cold);
    expect(deniedAtS).toBeLessThan(90);
    expect(state).toMatchObject({ phase: 'unsure', deniedBy: 'gas' });
  });

  it('is believed after a stop from wide open whose manifold warms the gas by 45 K, and again once that is cold', () => {
    const warmed = (s: number): Moment => {
      const t = s - 100;
      const soakedC = 205 + 45 * Math.sin(Math.min(t / 180, 1) * (Math.PI / 2));
      return {
        input: s <= 100,
        gasC: t <= 0 ? 205 : t <= 180 ? soakedC : 30 + 220 * Math.exp(-(t - 180) / 1200),
      };
    };
    expect(through(160, warmed).state).toMatchObject({ phase: 'stopped', disagreement: undefined });
    expect(through(3600, warmed).state).toMatchObject({ phase: 'stopped', disagreement: undefined });
  });

  it.each([8, 13, 22, 40, 60])(
    'is believed after a stop though metal that cools in %i min keeps the gas probe warm, first rising to it',
    (coolsInMin) => {
      // Idle before the stop: the probe at 190 C comes up to metal at 320 C with 80 s, which then cools.
      const metal = (t: number) => 30 + 290 * Math.exp(-t / (60 * coolsInMin));
      const warm = (s: number): Moment => {
        const t = s - 100;
        const gasC = t <= 0 ? 190 : metal(t) - 130 * Math.exp(-t / 80);
        return { input: s <= 100, elbowC: t <= 0 ? 38 : soak(t), gasC };
      };
      expect(through(4 * 3600, warm).deniedAtS).toBeUndefined();
    },
  );

  it('lost under way at steady gas: known within 15 s of the throttle’s next opening, else after half an hour', () => {
    const opened = (s: number): Moment => ({
      input: s <= 100,
      elbowC: 38,
      gasC: s <= 600 ? 230 : 230 + 120 * (1 - Math.exp(-(s - 600) / 5)),
    });
    expect(through(700, opened).deniedAtS).toBeLessThan(615);
    const steady = through(2400, (s) => ({ input: s <= 100, elbowC: 38, gasC: 280 }));
    expect(steady.deniedAtS).toBeGreaterThan(100 + 1800);
    expect(steady.deniedAtS).toBeLessThan(100 + 1800 + 95);
  });

  it('an input that was never seen to work is not believed against steady hot gas for longer than 90 s', () => {
    expect(through(200, () => ({ elbowC: 38, gasC: 280 })).deniedAtS).toBeLessThan(95);
  });

  it('stays doubted at idle, and is believed again once it has said running', () => {
    const idle = through(600, (s) => ({ gasC: s < 300 ? 260 : 130 }));
    expect(idle.state).toMatchObject({ phase: 'unsure', disagreement: 'stuck-off' });
    const works = stepRunning(idle.state, { wired: true, input: true, exhaust: undefined, dtS: 1 });
    expect(works).toMatchObject({ phase: 'running', disagreement: undefined, deniedBy: undefined });
  });
});
