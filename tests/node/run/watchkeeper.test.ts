import { describe, expect, it } from 'vitest';
import { startGuard } from '../../../node/guard/guard-state.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import { Pass } from '../../../node/pass/pass.js';
import { Watchkeeper, type WatchParts } from '../../../node/run/watchkeeper.js';
import type { Sensed } from '../../../node/sense/senses.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn } from '../kit-with.js';

const settings = settingsFromKit(kitWith([{ id: 'elbow', channel: ntcOn('A0') }]));
const disconnected = (atMs: number): Sensed => ({
  atMs: asMonotonicMs(atMs),
  board: 'lost',
  sampled: [],
  running: {},
  referencePin: 'none',
  complete: false,
});

/** A watch without a board: pass and guard are real, what would sound and report goes nowhere. */
const watchWith = (pass: Pass, sense: () => Sensed) => {
  const errors: string[] = [];
  const beats = { count: 0 };
  const parts = {
    sense,
    pass,
    annunciator: { play: () => {}, beat: () => beats.count++, stop: () => {} },
    reporter: { report: () => {} },
    tally: { add: () => {} },
    wall: { look: () => undefined },
    notices: () => [],
    keep: () => {},
    log: { info: () => {}, warn: () => {}, error: (_: unknown, words: string) => errors.push(words) },
  } as unknown as WatchParts;
  const trouble: { proof: string | undefined; unconfirmedMs: number } = {
    proof: undefined,
    unconfirmedMs: 0,
  };
  const proven = {
    ...parts,
    proof: { step: () => trouble.proof },
    buzzerUnconfirmedMs: () => trouble.unconfirmedMs,
  };
  return { watch: new Watchkeeper(proven), errors, beats, trouble };
};

describe('the order of a pass', () => {
  /** A watch whose board has been disconnected for 20 s, so that its alert sounds, and every effect noted in its order. */
  const noted = (fails?: 'report' | 'keep') => {
    const done: string[] = [];
    const pass = new Pass(settings, new Map(), startGuard(asMonotonicMs(0)));
    pass.run(disconnected(0));
    const note = (what: string) => () => {
      done.push(what);
      if (what === fails) throw new Error(`${what} failed`);
    };
    const parts = {
      sense: () => disconnected(20_000),
      pass,
      annunciator: {
        play: ({ soundingIds }: { soundingIds: readonly string[] }) => done.push(`sound ${soundingIds}`),
        beat: note('beat'),
        stop: () => {},
      },
      reporter: { report: note('report') },
      tally: { add: note('count') },
      wall: { look: () => undefined },
      keep: note('keep'),
      log: { info: note('log'), warn: note('log'), error: note('log') },
    } as unknown as WatchParts;
    return { watch: new Watchkeeper(parts), done };
  };

  it('the sound comes first: before log, link, memory and the answer to a command', async () => {
    const { watch, done } = noted();
    const answered = watch.command({ do: 'acknowledge', alertId: 'none' }).then(() => done.push('answer'));
    watch.onePass();
    await answered;
    expect(done[0]).toBe('sound board:board:warning');
    expect(done).toEqual(expect.arrayContaining(['log', 'report', 'keep', 'answer']));
  });

  it.each(['report', 'keep'] as const)('it has sounded although "%s" fails', (what) => {
    const { watch, done } = noted(what);
    watch.onePass();
    expect(done[0]).toBe('sound board:board:warning');
    expect(watch.report?.standing.warning).toBe(1);
  });
});

describe('the watch', () => {
  it('continues from a memory that makes the guard throw, with a log line, and sounds what is active', () => {
    const pass = new Pass(settings, new Map(), startGuard(asMonotonicMs(0)));
    pass.run(disconnected(0));
    expect(pass.run(disconnected(20_000)).alerts).toMatchObject([{ id: 'board:board' }]);
    pass.state = { ...pass.state, probes: { elbow: {} as never } };
    let atMs = 20_100;
    const { watch, errors } = watchWith(pass, () => disconnected(atMs));
    watch.onePass();
    expect(errors).toEqual([
      'The guard could not continue from what it remembered; alerts start again from nothing.',
    ]);
    for (; atMs < 40_000; atMs += 1_000) watch.onePass();
    expect(errors).toHaveLength(1);
    expect(watch.report?.standing.warning).toBe(1);
  });

  it('beats for nothing but work: not while the guard forgets at every pass, nor without proof or a confirmed buzzer', () => {
    const pass = new Pass(settings, new Map(), startGuard(asMonotonicMs(0)));
    // A boat without an elbow, so that nothing is unseen in a test that reads no probe.
    pass.retune(
      settingsFromKit(kitWith([{ id: 'elbow', engine: 'both', place: 'sea-water', channel: ntcOn('A0') }])),
      new Map(),
    );
    let atMs = 0;
    const sense = (): Sensed => ({ ...disconnected(atMs), board: 'connected', complete: true });
    const { watch, beats, trouble } = watchWith(pass, sense);
    const passes = (seconds: number, before = () => {}) => {
      const from = beats.count;
      for (let i = 0; i < seconds * 10; i++) {
        atMs += 100;
        before();
        watch.onePass();
      }
      return beats.count - from;
    };
    expect(passes(10)).toBe(100);
    const spoil = () => {
      pass.state = { ...pass.state, probes: { elbow: {} as never } };
    };
    expect(passes(60, spoil)).toBe(0);
    expect(watch.report?.heartHeldBy).toBe('the guard lost its memory');
    // The circuit has sounded by then, for the slowest takes 3.2 s.
    expect(passes(5)).toBe(0);
    expect(passes(5)).toBeGreaterThan(30);
    trouble.proof = 'an elbow at 100 C did not sound the alarm';
    expect(passes(10)).toBe(0);
    trouble.proof = undefined;
    trouble.unconfirmedMs = 10_100;
    expect(passes(10)).toBe(0);
    expect(watch.report?.heartHeldBy).toBe('the board does not confirm the buzzer pin');
    trouble.unconfirmedMs = 900;
    expect(passes(10)).toBe(100);
    const run = pass.run.bind(pass);
    pass.run = (sensed) => {
      const { state } = pass;
      const result = run(sensed);
      pass.state = state;
      return result;
    };
    expect(passes(10)).toBe(0);
    expect(watch.report?.heartHeldBy).toBe('the guard did not judge this pass');
  });

  it('answers a command of a pass that fails, and keeps one that came before what was sensed', async () => {
    const pass = new Pass(settings, new Map(), startGuard(asMonotonicMs(0)));
    let trouble: 'sense' | 'guard' | undefined = 'sense';
    const { watch } = watchWith(pass, () => {
      if (trouble === 'sense') throw new Error('no senses');
      return disconnected(100);
    });
    const answer = watch.command({ do: 'acknowledge', alertId: 'board:board' });
    expect(() => watch.onePass()).toThrow('no senses');
    trouble = 'guard';
    pass.retune({ ...settings, probes: undefined as never }, new Map());
    expect(() => watch.onePass()).toThrow();
    expect(await answer).toMatchObject({ ok: false, detail: expect.stringContaining('Try again') });
  });
});
