import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { Live, startLink } from '../../host/link/index.js';
import { openStore } from '../../host/store/index.js';
import { secretFile } from '../../node/index.js';
import { LinkListener } from './link-listener.js';
import { NodeRig } from './node-on-emulated-time.js';

/** About 25 emulated seconds in all; a busy machine gets more time, since nothing here is measured by the wall. */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

const hourMs = 3_600_000;

/** One hot elbow, and everything that must not make its alarm vanish, or another one appear. In order. */
describe('an active alarm', () => {
  const rig = new NodeRig();
  let host: LinkListener;
  let store: ReturnType<typeof openStore>;
  let keeper: ReturnType<typeof startLink>;
  const alarm = () => host.alerts.find((a) => a.engine === 'starboard' && a.priority === 'alarm');
  const others = () => host.alerts.filter((a) => a.engine !== 'starboard');
  /** Seconds of the node, and the link's own turns to deliver what was said in them. */
  const wait = (seconds: number) => rig.board.advance(seconds);

  beforeAll(async () => {
    const linkPort = (await rig.start()).linkPort();
    host = new LinkListener(linkPort ?? 0, rig.secretPath);
    store = openStore(join(rig.folder, 'host'), rig.board.clock);
    const live = new Live(rig.board.clock);
    const secret = secretFile(rig.secretPath, { onTrouble: () => {} });
    const addresses = [`127.0.0.1:${linkPort}`];
    keeper = startLink({ addresses, store, live, clock: rig.board.clock, secret });
    await rig.untilBeating();
  });
  afterAll(async () => {
    host?.close();
    const closing = keeper?.close();
    await rig.board.advance(0.3);
    await closing;
    store?.close();
    await rig.close();
  });

  test('what became of every reading is counted by probe, over the link and in the health', async () => {
    const probe = rig.boat.probes.get('port-exhaust');
    if (!probe) throw new Error('no such probe');
    probe.fault = 'absent';
    const counted = () => host.last('status')?.counters.readings?.['port-exhaust'];
    await rig.until(() => (counted()?.missing ?? 0) >= 1 && (counted()?.good ?? 0) >= 1, 12);
    probe.fault = undefined;
    expect(host.last('status')?.counters.readings?.['port-elbow']?.good).toBeGreaterThan(20);
    expect(rig.node?.health().readings).toMatchObject({ 'port-exhaust': { good: expect.any(Number) } });
  });

  test('a test of the sound drives the buzzer and is over by itself', async () => {
    host.testSound(0.5);
    await rig.until(() => rig.boat.pins.buzzer, 2);
    expect(host.answers.at(-1)).toMatchObject({ ok: true });
    await rig.until(() => !rig.boat.pins.buzzer && !rig.boat.pins.lamp, 2);
    expect(host.alerts).toEqual([]);
  });

  test('it is raised by a hot elbow, with buzzer and flashing lamp, and a test is refused while it sounds', async () => {
    rig.boat.elements.get('starboard-elbow')?.dip(() => 100);
    await rig.until(() => alarm()?.state === 'unacknowledged' && rig.boat.pins.buzzer, 15);
    expect(others()).toEqual([]);
    host.testSound(1);
    await rig.until(() => host.answers.at(-1)?.ok === false, 2);
  });

  test.each([
    ['back one hour', -hourMs],
    ['ahead one day', 24 * hourMs],
  ])('the wall clock steps %s: nothing fires, nothing vanishes, and times are marked', async (_, stepMs) => {
    const before = alarm();
    const steppedBefore = host.messages.at(-1)?.clockSteppedMs ?? 0;
    rig.board.wallOffsetMs += stepMs;
    await wait(1.5);
    expect(host.messages.at(-1)?.clockSteppedMs).toBe(steppedBefore + stepMs);
    expect(host.alerts.map(({ id, state }) => [id, state])).toEqual([[before?.id, before?.state]]);
    const row = host.last('readings')?.rows[0];
    expect(Math.abs((row?.at ?? 0) - rig.board.clock.wallMs())).toBeLessThan(3_000);
    expect(rig.isSounding).toBe(false);
    // The host's store has it as a mark beside its history, by both clocks.
    store.intake.commit();
    const mark = store.clockSteps({ from: 0, to: Number.MAX_SAFE_INTEGER }).at(-1);
    expect(mark).toMatchObject({ node: 'engine-room', stepMs });
    expect((mark?.afterAt ?? 0) - (mark?.beforeAt ?? 0)).toBe(stepMs);
    expect(Math.abs((mark?.afterAt ?? 0) - rig.board.clock.wallMs())).toBeLessThan(5_000);
  });

  test('it is acknowledged over the link: quiet buzzer, steady lamp', async () => {
    host.acknowledge(alarm()?.id ?? '');
    await rig.until(() => alarm()?.state === 'acknowledged', 2);
    await wait(0.3);
    for (let i = 0; i < 8; i++) {
      await wait(0.1);
      expect(rig.boat.pins).toMatchObject({ buzzer: false, lamp: true });
    }
  });

  test('a kit file that cannot be used changes nothing, and says why', async () => {
    const good = readFileSync(rig.kitPath, 'utf8');
    writeFileSync(rig.kitPath, good.replace('raiseAtC: 75', 'raiseAtC: hot'));
    expect(rig.node?.reload()).toMatchObject({
      ok: false,
      detail: expect.stringMatching(/found "hot"[\s\S]*stay in force/),
    });
    writeFileSync(rig.kitPath, good.replace('pin: A0', 'pin: A4'));
    expect(rig.node?.reload()).toMatchObject({
      ok: false,
      detail: expect.stringContaining('the input of probe port-elbow cannot change while the node runs'),
    });
    writeFileSync(rig.kitPath, good);
    await wait(0.3);
    expect(alarm()?.state).toBe('acknowledged');
  });

  test('a new name and limit take effect without losing the alarm', async () => {
    const good = readFileSync(rig.kitPath, 'utf8');
    writeFileSync(
      rig.kitPath,
      good
        .replace('name: Sea water', 'name: Sea inlet')
        .replace('warning: { raiseAtC: 68, clearAtC: 64', 'warning: { raiseAtC: 60, clearAtC: 55'),
    );
    expect(rig.node?.reload().ok).toBe(true);
    await rig.until(() => host.last('hello')?.probes.some((p) => p.name === 'Sea inlet') === true, 2);
    expect(host.last('hello')?.probes[1]?.limits.warning?.raiseAtC).toBe(60);
    expect(alarm()?.state).toBe('acknowledged');
  });

  test('the node is stopped and started: the alarm is still acknowledged, before the board has said a word', async () => {
    host.close();
    await rig.stopNode();
    expect(rig.boat.pins).toMatchObject({ buzzer: false, lamp: false });
    const linkPort = (await rig.start()).linkPort();
    host = new LinkListener(linkPort ?? 0, rig.secretPath);
    await rig.until(() => alarm() !== undefined, 2);
    expect(alarm()?.state).toBe('acknowledged');
    await rig.untilBeating();
    expect(alarm()?.state).toBe('acknowledged');
  });
});
