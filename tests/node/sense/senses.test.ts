import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { AnalogInput } from '../../../node/bus/analog-input.js';
import type { DigitalInput } from '../../../node/bus/digital.js';
import { AnalogChannel } from '../../../node/input/analog-channel.js';
import { takingTurns } from '../../../node/input/bus-turn.js';
import { PolledChannel } from '../../../node/input/polled-channel.js';
import type { Input, Sample } from '../../../node/input/sample.js';
import { ReferencePin } from '../../../node/sense/reference-pin.js';
import { RunningInput } from '../../../node/sense/running-input.js';
import { type Sensed, Senses, staleAfterMs } from '../../../node/sense/senses.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../../node/time/clock.js';

const clock: Clock = { monotonicMs: () => asMonotonicMs(Date.now()), wallMs: () => asWallMs(0) };
beforeEach(() => void vi.useFakeTimers({ now: 0 }));
afterEach(() => void vi.useRealTimers());
const pass = (ms: number) => vi.advanceTimersByTimeAsync(ms);

const wire = () => {
  let say: (counts: number) => void = () => {};
  const input: AnalogInput = {
    fullScaleCounts: 1023,
    onCounts: (listener) => {
      say = listener;
    },
  };
  return { input, say: (counts: number) => say(counts) };
};

describe('an analogue channel', () => {
  test('gives the centre of the code, averaged over what came, and nothing twice', async () => {
    const { input, say } = wire();
    const channel = new AnalogChannel('elbow', input, clock);
    expect(channel.take()).toBeUndefined();
    for (const counts of [700, 701]) {
      await pass(19);
      say(counts);
    }
    expect(channel.take()).toEqual({
      probe: 'elbow',
      atMs: 38,
      sample: {
        kind: 'counts',
        counts: 701,
        fullScale: 1024,
        noiseCounts: Math.SQRT1_2,
        taken: 2,
        strays: 0,
      },
    });
    expect(channel.take()).toBeUndefined();
  });

  test('not asked for an hour: it keeps the newest 256 counts and no more', () => {
    const { input, say } = wire();
    const channel = new AnalogChannel('elbow', input, clock);
    for (let i = 0; i < 100_000; i++) say(i < 99_744 ? 0 : 5);
    expect(channel.take()).toMatchObject({ sample: { counts: 5.5, taken: 256 } });
  });
});

describe('a polled channel', () => {
  const emf: Sample = { kind: 'thermocouple', emfMicrovolts: 100, coldJunctionC: 20 };
  const silent: Sample = { kind: 'nothing', reason: 'no-answer', detail: '' };
  const rig = (answers: (Sample | undefined)[] | ((n: number) => Promise<Sample | undefined>)) => {
    const askedAtMs: number[] = [];
    const channel = new PolledChannel({
      probe: 'gas',
      clock,
      everyMs: 200,
      ask: () => {
        askedAtMs.push(Date.now());
        const n = askedAtMs.length - 1;
        return typeof answers === 'function' ? answers(n) : Promise.resolve(answers[n] ?? answers.at(-1));
      },
    });
    return { channel, askedAtMs };
  };

  test('is asked every 200 ms, and a value is given once', async () => {
    const { channel, askedAtMs } = rig([emf]);
    await pass(650);
    channel.stop();
    expect(askedAtMs).toEqual([0, 200, 400, 600]);
    expect(channel.take()?.sample).toEqual(emf);
    expect(channel.take()).toBeUndefined();
  });

  test('that does not answer is asked ever less often, down to every 2 s, and at once at full pace when it is back', async () => {
    const { channel, askedAtMs } = rig((n) => Promise.resolve(n < 7 ? silent : emf));
    await pass(12_000);
    channel.stop();
    const pauses = askedAtMs.slice(1).map((at, i) => at - (askedAtMs[i] as number));
    expect(pauses.slice(0, 9)).toEqual([400, 800, 1600, 2000, 2000, 2000, 2000, 200, 200]);
  });

  test('whose question throws did not answer, and is asked again', async () => {
    const { channel, askedAtMs } = rig((n) => {
      if (n === 0) throw new Error('the port is gone');
      return n === 1 ? Promise.reject(new Error('the port is gone')) : Promise.resolve(emf);
    });
    await pass(300);
    expect(channel.take()?.sample).toMatchObject({ kind: 'nothing', reason: 'no-answer' });
    await pass(1_000);
    channel.stop();
    expect(channel.take()?.sample).toEqual(emf);
    expect(askedAtMs.length).toBeGreaterThan(2);
  });

  test('those on one bus finish what they ask before the next begins, and one that fails holds up none', async () => {
    const turn = takingTurns();
    const asked: string[] = [];
    const channels = ['a', 'b', 'c'].map(
      (probe) =>
        new PolledChannel({
          probe,
          clock,
          everyMs: 200,
          turn,
          ask: async () => {
            // Six questions of 20 ms each, as to an amplifier over a slow USB bridge.
            for (let i = 0; i < 6; i++) {
              asked.push(probe);
              if (probe === 'b' && i === 2) throw new Error('no answer');
              await new Promise((done) => setTimeout(done, 20));
            }
            return emf;
          },
        }),
    );
    await pass(1_000);
    for (const channel of channels) channel.stop();
    const talks = asked.join('').match(/(.)\1*/g) ?? [];
    // The last may have been cut off by the end.
    expect(new Set(talks.slice(0, -1))).toEqual(new Set(['aaaaaa', 'bbb', 'cccccc']));
    expect(channels.map((channel) => channel.take()?.sample.kind)).toEqual([
      'thermocouple',
      'nothing',
      'thermocouple',
    ]);
  });

  test('with nothing new gives nothing, and is not taken for silent', async () => {
    const { channel, askedAtMs } = rig([undefined]);
    await pass(1000);
    channel.stop();
    expect(channel.take()).toBeUndefined();
    expect(askedAtMs).toHaveLength(6);
  });

  test('a slow answer does not push the rhythm back', async () => {
    const { channel, askedAtMs } = rig(() => new Promise((done) => setTimeout(() => done(emf), 150)));
    await pass(650);
    channel.stop();
    expect(askedAtMs).toEqual([0, 200, 400, 600]);
  });

  test('stopped while asking keeps nothing and asks no more', async () => {
    const { channel, askedAtMs } = rig(() => new Promise((done) => setTimeout(() => done(emf), 50)));
    channel.stop();
    await pass(1000);
    expect(channel.take()).toBeUndefined();
    expect(askedAtMs).toEqual([0]);
  });
});

describe('a running input', () => {
  const rig = (activeLow: boolean) => {
    let say: (high: boolean) => void = () => {};
    const input: DigitalInput = {
      onLevel: (listener) => {
        say = listener;
      },
    };
    return { running: new RunningInput(input, { activeLow }, clock), say: (high: boolean) => say(high) };
  };

  test('is unknown until a level has held for 300 ms', async () => {
    const { running, say } = rig(true);
    expect(running.isRunning()).toBeUndefined();
    say(false);
    await pass(299);
    expect(running.isRunning()).toBeUndefined();
    await pass(1);
    expect(running.isRunning()).toBe(true);
  });

  test('does not follow a contact that chatters while the starter turns', async () => {
    const { running, say } = rig(false);
    say(false);
    await pass(400);
    expect(running.isRunning()).toBe(false);
    for (let i = 0; i < 20; i++) {
      say(i % 2 === 0);
      await pass(60);
      expect(running.isRunning()).toBe(false);
    }
    say(true);
    await pass(300);
    expect(running.isRunning()).toBe(true);
  });
});

describe('the reference pin', () => {
  test('is well within 2 % of its share, off beyond, silent after 2 s', async () => {
    const { input, say } = wire();
    const referencePin = new ReferencePin(input, 0.5, clock);
    say(512);
    say(531);
    expect(referencePin.verdict()).toBe('well');
    say(512);
    say(533);
    say(512);
    expect(referencePin.verdict()).toBe('off');
    expect(referencePin.verdict()).toBe('well');
    await pass(2001);
    expect(referencePin.verdict()).toBe('silent');
  });
});

describe('the senses together', () => {
  const rig = () => {
    const said = new Map<string, Sample>();
    const channel = (probe: string): Input => ({
      probe,
      take: () => {
        const sample = said.get(probe);
        said.delete(probe);
        return sample && { probe, atMs: clock.monotonicMs(), sample };
      },
    });
    const state = { board: 'connected' as Sensed['board'], referencePin: 'none' as Sensed['referencePin'] };
    const senses = new Senses({
      channels: [channel('a'), channel('b')],
      board: () => state.board,
      running: () => ({ port: true }),
      referencePin: () => state.referencePin,
      clock,
    });
    const counts: Sample = {
      kind: 'counts',
      counts: 1,
      fullScale: 1024,
      noiseCounts: 0,
      taken: 1,
      strays: 0,
    };
    const say = (...probes: string[]) => {
      for (const probe of probes) said.set(probe, counts);
    };
    const reasons = ({ sampled }: Sensed) =>
      sampled.map(
        ({ probe, sample }) => `${probe} ${sample.kind === 'nothing' ? sample.reason : sample.kind}`,
      );
    return { senses, say, state, reasons };
  };

  test('are complete only once every channel has spoken', () => {
    const { senses, say } = rig();
    expect(senses.take().complete).toBe(false);
    say('a');
    expect(senses.take().complete).toBe(false);
    say('b');
    expect(senses.take().complete).toBe(true);
  });

  test('one channel that sticks is stale after 4 s, and the pass is no longer complete though the others speak', async () => {
    const { senses, say, reasons } = rig();
    say('a', 'b');
    senses.take();
    for (let ms = 0; ms < staleAfterMs; ms += 100) {
      await pass(100);
      say('a');
      expect(senses.take().complete).toBe(true);
    }
    await pass(100);
    say('a');
    const sensed = senses.take();
    expect(reasons(sensed)).toEqual(['a counts', 'b stale']);
    expect(sensed.complete).toBe(false);
  });

  test('while the board is disconnected nothing is a reading, whatever trickles in, and no running input is believed', () => {
    const { senses, say, state, reasons } = rig();
    say('a', 'b');
    senses.take();
    state.board = 'lost';
    say('a');
    const sensed = senses.take();
    expect(reasons(sensed)).toEqual(['a board-away', 'b board-away']);
    expect(sensed).toMatchObject({ complete: false, running: {}, referencePin: 'none' });
  });

  test('after the board came back nothing counts as read until it has been read again', async () => {
    const { senses, say, state } = rig();
    say('a', 'b');
    expect(senses.take().complete).toBe(true);
    state.board = 'lost';
    senses.take();
    state.board = 'connected';
    say('a');
    expect(senses.take().complete).toBe(false);
    say('b');
    expect(senses.take().complete).toBe(true);
  });

  test('a reference pin that is off marks what came in the same pass; a silent one stops the heartbeat', () => {
    const { senses, say, state } = rig();
    state.referencePin = 'off';
    say('a', 'b');
    const misread = senses.take();
    expect(misread.sampled.map((one) => one.referencePinOff)).toEqual([true, true]);
    expect(misread.complete).toBe(true);
    state.referencePin = 'silent';
    say('a', 'b');
    expect(senses.take().complete).toBe(false);
  });
});
