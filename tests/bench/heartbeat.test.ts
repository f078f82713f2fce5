import { afterAll, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import type { BoardLink } from '../../node/board/board-link.js';
import { NodeRig } from './node-on-emulated-time.js';

/** The circuit's own time is 2.2 s; the node may take its stale time of 4 s to find out. All must be heard within 7 s. */
const heardWithinS = 7;

/** About 45 s of one core in all; a busy machine gets more time, since nothing here is measured by the wall. */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

/** A board of which one part can be made to say nothing any more while all else continues. */
const breakable = () => {
  const broken = { a0: false, i2c: false };
  const around = (board: BoardLink): BoardLink => ({
    analogInput: (pin) => {
      const input = board.analogInput(pin);
      return {
        fullScaleCounts: input.fullScaleCounts,
        onCounts: (listener) =>
          input.onCounts((counts) => (pin === 'A0' && broken.a0 ? undefined : listener(counts))),
      };
    },
    digitalInput: (pin, options) => board.digitalInput(pin, options),
    digitalOutput: (pin) => board.digitalOutput(pin),
    i2c: {
      read: (...args) => (broken.i2c && args[0] === 0x67 ? new Promise(() => {}) : board.i2c.read(...args)),
      write: (...args) => board.i2c.write(...args),
    },
    status: () => board.status(),
    onStatus: (listener) => board.onStatus(listener),
    counters: () => board.counters(),
    unconfirmedMs: (pin) => board.unconfirmedMs(pin),
    close: () => board.close(),
  });
  return { broken, around };
};

/** One node and one board for all: each test repairs what it broke, so that coming back is part of the proof. */
describe('the missing-pulse circuit, on the emulated clock', () => {
  const { broken, around } = breakable();
  let rig: NodeRig;
  beforeAll(async () => {
    rig = new NodeRig({ around });
    await rig.start();
    await rig.untilBeating();
  });
  afterAll(() => rig.close());
  beforeEach(() => expect(rig.isSounding).toBe(false));

  test('sees about 10 edges a second in normal work', async () => {
    const before = rig.boat.missingPulse.edges;
    await rig.board.advance(2);
    expect(rig.boat.missingPulse.edges - before).toBeGreaterThanOrEqual(18);
    expect(rig.boat.missingPulse.edges - before).toBeLessThanOrEqual(21);
  });

  test('chirps as an engine starts, and is quiet again by itself: so the buzzer is tried with the computer on', async () => {
    rig.plant.setThrottle('port', 0);
    await rig.board.advance(2);
    expect(rig.isSounding).toBe(false);
    rig.plant.setThrottle('port', 0.3);
    expect(await rig.untilSounding()).toBeLessThan(4);
    await rig.until(() => !rig.isSounding, 5);
    await rig.untilBeating();
  });

  test('sounds while the event loop stalls for 10 s, and the node does not make up for the beats it missed', async () => {
    rig.stalled = true;
    const soundedAfterS = await rig.untilSounding();
    expect(soundedAfterS).toBeLessThan(3);
    await rig.board.advance(10 - soundedAfterS);
    const atEnd = rig.boat.missingPulse.edges;
    rig.stalled = false;
    await rig.board.advance(1);
    expect(rig.boat.missingPulse.edges - atEnd).toBeLessThanOrEqual(12);
    await rig.untilBeating();
  });

  test('sounds when one analogue input falls silent and all others continue', async () => {
    broken.a0 = true;
    expect(await rig.untilSounding()).toBeLessThan(heardWithinS);
    broken.a0 = false;
    await rig.untilBeating();
  });

  test('sounds when the cable is pulled, and is quiet again once it is back, without a restart', async () => {
    rig.cable.pull();
    expect(await rig.untilSounding()).toBeLessThan(heardWithinS);
    rig.cable.isIn = true;
    await rig.untilBeating();
  });

  test('sounds when the board loses its power, and is quiet again once it has started', async () => {
    rig.board.emulation.board.powerOff();
    expect(await rig.untilSounding()).toBeLessThan(heardWithinS);
    rig.board.emulation.board.powerOn();
    await rig.untilBeating();
  });

  test('does not sound for a thermocouple chip that is absent: that is a fault to report, and the watch continues', async () => {
    const probe = rig.boat.probes.get('starboard-exhaust');
    if (!probe) throw new Error('no such probe');
    probe.fault = 'absent';
    const before = rig.boat.missingPulse.edges;
    await rig.board.advance(4);
    expect(rig.isSounding).toBe(false);
    expect(rig.boat.missingPulse.edges - before).toBeGreaterThan(30);
  });

  test('sounds when a question to one chip never comes back', async () => {
    broken.i2c = true;
    expect(await rig.untilSounding()).toBeLessThan(heardWithinS);
  });
});
