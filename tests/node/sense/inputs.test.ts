import { describe, expect, test } from 'vitest';
import { AnalogChannel } from '../../../node/input/analog-channel.js';
import { takingTurns } from '../../../node/input/bus-turn.js';
import { PolledChannel } from '../../../node/input/polled-channel.js';
import type { Sample } from '../../../node/input/sample.js';
import { clock, pass, wire, withFakeTime } from './fake-time.js';

withFakeTime();

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
