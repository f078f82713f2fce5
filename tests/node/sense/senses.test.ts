import { describe, expect, test } from 'vitest';
import type { DigitalInput } from '../../../node/bus/digital.js';
import type { Input, Sample } from '../../../node/input/sample.js';
import { ReferencePin } from '../../../node/sense/reference-pin.js';
import { RunningInput } from '../../../node/sense/running-input.js';
import { type Sensed, Senses, staleAfterMs } from '../../../node/sense/senses.js';
import { clock, pass, wire, withFakeTime } from './fake-time.js';

withFakeTime();

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
