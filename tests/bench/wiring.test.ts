import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import type { ProbeFault } from '../../node/bench/probes/probe-fault.js';
import { runNode } from '../../node/run/run-node.js';
import type { WiringLook } from '../../node/wiring/look.js';
import { lookAtRecording } from '../../node/wiring/look-at-recording.js';
import { openWiring } from '../../node/wiring/open-wiring.js';
import { readRecording } from '../../node/wiring/recording.js';
import { NodeRig } from './node-on-emulated-time.js';

vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

describe('the wiring of the bench boat, through the stock firmware', () => {
  const rig = new NodeRig();
  const recordTo = join(rig.folder, 'session.jsonl');
  let wiring: ReturnType<typeof openWiring>;
  const allGood = (look: WiringLook) => look.probes.every(({ quality }) => quality === 'good');
  const faults = () =>
    Object.fromEntries(
      wiring.look().probes.map(({ probe, faults }) => [probe, faults.map(({ fault }) => fault)]),
    );
  const cause = (faulty: Record<string, ProbeFault | undefined>) => {
    for (const [id, fault] of Object.entries(faulty)) {
      const probe = rig.boat.probes.get(id);
      if (!probe) throw new Error(`no probe ${id}`);
      probe.fault = fault;
    }
  };

  beforeAll(async () => {
    wiring = openWiring({
      kitPath: rig.kitPath,
      clock: rig.board.clock,
      openBoard: rig.openBoard,
      recordTo,
    });
    await rig.until(() => allGood(wiring.look()), 10);
    await rig.board.advance(2);
  });
  afterAll(async () => {
    const closing = wiring.close();
    let closed = false;
    void closing.then(() => {
      closed = true;
    });
    await rig.until(() => closed, 5);
    await rig.close();
  });

  test('shows every probe within its tolerance of the truth, and no fault', () => {
    const look = wiring.look();
    expect(look.board.state).toBe('connected');
    expect(look.referencePin).toBe('well');
    expect(look.faults).toEqual([]);
    for (const { probe, temperatureC, uncertaintyC, faults } of look.probes) {
      expect(faults).toEqual([]);
      const trueC = rig.boat.elements.get(probe)?.temperatureC ?? Number.NaN;
      // Three standard uncertainties: parts of the bench boat deviate within their tolerance.
      expect(Math.abs((temperatureC ?? Number.NaN) - trueC)).toBeLessThan(3 * (uncertaintyC ?? 0));
    }
  });

  test('distinguishes six simultaneous faults', async () => {
    cause({
      'port-elbow': 'open',
      'starboard-elbow': 'short',
      'sea-water': 'loose',
      'engine-room': 'short-to-ground',
      'port-exhaust': 'absent',
      'starboard-exhaust': 'twin-address',
    });
    const expected = {
      'port-elbow': ['open'],
      'starboard-elbow': ['short'],
      'sea-water': ['loose'],
      'engine-room': ['short'],
      'port-exhaust': ['no-answer'],
      'starboard-exhaust': ['contradicting'],
    };
    await rig.until(() => JSON.stringify(faults()) === JSON.stringify(expected), 20).catch(() => {});
    expect(faults()).toEqual(expected);
    // One missing and one that contradicts itself are probably on one address, and that is said too.
    expect(wiring.look().faults.map(({ fault }) => fault)).toEqual(['one-address-twice']);
  });

  test('the session was recorded, and looks the same ashore', () => {
    const recording = readRecording(recordTo);
    expect(recording.passes.length).toBeGreaterThan(40);
    const ashore = lookAtRecording(recording);
    expect(ashore.probes.map(({ probe, quality }) => [probe, quality])).toEqual(
      wiring.look().probes.map(({ probe, quality }) => [probe, quality]),
    );
  });

  test('the node can watch the recording, and raises what it shows', async () => {
    const node = await runNode({
      kitPath: rig.kitPath,
      replay: recordTo,
      linkListen: '127.0.0.1:0',
      logLevel: 'error',
      clock: rig.board.clock,
    });
    rig.board.emulation.board.powerOff();
    await rig.until(() => node.health().ready, 8);
    const health = node.health();
    expect(health.board).toMatchObject({ detail: expect.stringContaining('recording') });
    let stopped = false;
    void node.stop().then(() => {
      stopped = true;
    });
    await rig.until(() => stopped, 5);
  });
});
