import { readFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { afterEach, expect, test, vi } from 'vitest';
import { HostProtocol } from '../../../node/link/host-protocol.js';
import { parseFromNode } from '../../../node/link/messages.js';
import { receiveFrames } from '../../../node/link/receive-frames.js';
import { type Breaking, BrokenSystem, type Operation } from './broken-system.js';
import { coolC, hotC, SimpleBoat, simpleKit } from './simple-boat.js';

/**
 * By rule: every file operation, every port and every write that a node asks for at its start and in its run is made to
 * fail, each by itself and each from there on for ever, with an error and, where it answers later, without any answer. There are two good outcomes and no third: the guard guards (it
 * beats, and an elbow that becomes too hot sounds), or the heartbeat has stopped within three seconds, which sounds at the
 * missing-pulse circuit. `ELBOWROOM_FULL=1` does all, the suite every seventeenth.
 */
const every = process.env.ELBOWROOM_FULL ? 1 : 17;
const soundsWithinS = 8;
const heartStopsWithinMs = 3_000;

type Outcome = 'guards' | 'heartbeat stopped' | 'NEITHER';

let system: BrokenSystem | undefined;
let boat: SimpleBoat | undefined;
afterEach(async () => {
  system?.restore();
  await boat?.abandon();
});

/** A host that stores what it receives, so that the link is written to. */
const listenTo = (port: number, secretPath: string) => {
  const socket = connect(port, '127.0.0.1');
  const protocol = new HostProtocol(() => {
    try {
      return system?.apart(() => readFileSync(secretPath, 'utf8').trim());
    } catch {
      return undefined;
    }
  });
  socket.on('error', () => {});
  receiveFrames(socket, {
    onDamaged: () => {},
    onFrame: (value) => {
      const frame = parseFromNode(value);
      if (frame?.type === 'greeting') protocol.onGreeting(frame);
      if (frame?.type === 'message')
        socket.write(protocol.frame({ type: 'stored', boot: frame.boot, seq: frame.seq }));
    },
  });
  socket.write(protocol.arrival());
  return () => socket.destroy();
};

/** One whole life: a start with a last good copy, a cruise, a saved kit, an elbow without water. */
const live = async (breaking?: Breaking): Promise<{ outcome: Outcome; operations: readonly Operation[] }> => {
  const here = new SimpleBoat();
  boat = here;
  await here.start();
  await here.run(1);
  await here.stop();
  system = new BrokenSystem(here.folder, breaking);
  let hangUp: (() => void) | undefined;
  let sounded = false;
  const from = { beats: here.beats, sounds: 0 };
  try {
    const node = await here.start({ healthListen: '127.0.0.1:0' });
    const port = node.linkPort();
    if (port !== undefined) hangUp = listenTo(port, join(here.folder, 'link-secret'));
    await here.run(3);
    // What the owner saves while the node runs is read by it, and its copies are written again.
    system.apart(() => here.writeKit(`${simpleKit}# saved\n`));
    node.reload();
    await here.run(3);
    from.beats = here.beats;
    here.elbowC = hotC;
    from.sounds = here.buzzerOnAtMs.length;
    sounded = await here.until(() => here.buzzerOnAtMs.length > from.sounds, soundsWithinS);
  } catch {
    // The start failed: the process would end.
    expect(here.node).toBeUndefined();
  }
  // By then the warning has become the alarm.
  await here.run(8);
  const still = here.nowMs - here.lastBeatMs > heartStopsWithinMs;
  // A warning is three pips and a pause of 14 s; an alarm sounds every 0.8 s, or longer where its pattern begins again.
  const lately = here.buzzerOnAtMs.filter((atMs) => atMs > here.nowMs - 4_000).length;
  const guards = sounded && lately > 3 && !still && here.beats > from.beats + 60;
  const { operations } = system;
  system.restore();
  system = undefined;
  hangUp?.();
  if (breaking?.code === 'HANGS') await here.abandon();
  else await here.remove();
  boat = undefined;
  return { outcome: guards ? 'guards' : still ? 'heartbeat stopped' : 'NEITHER', operations };
};

test('whatever fails at a start and in a run, the guard guards or the heartbeat has stopped: no third outcome', async () => {
  expect(coolC).toBeLessThan(hotC);
  vi.spyOn(process.stderr, 'write').mockImplementation(() => true);
  const healthy = await live();
  expect(healthy.outcome).toBe('guards');
  const count = healthy.operations.length;
  const ways = [
    ['this', false],
    ['all from here on', false],
    ['this', true],
    ['all from here on', true],
  ] as const;
  const codes = ['EIO', 'ENOSPC', 'EACCES'] as const;
  const counted: Record<Outcome, number> = { guards: 0, 'heartbeat stopped': 0, NEITHER: 0 };
  const bad: string[] = [];
  const still: string[] = [];
  for (let n = 1; n <= count; n += every)
    for (const [to, hangs] of ways) {
      const { name, on, later } = healthy.operations[n - 1] ?? { name: '', on: '', later: false };
      if (hangs && !later) continue;
      const code = hangs ? 'HANGS' : (codes[n % codes.length] ?? 'EIO');
      const { outcome } = await live({ from: n, to: to === 'this' ? n : Number.POSITIVE_INFINITY, code });
      counted[outcome]++;
      if (outcome !== 'guards')
        (outcome === 'NEITHER' ? bad : still).push(
          `${n}${to === 'this' ? '' : ' and on'}: ${code} at ${name} ${on}`,
        );
    }
  vi.restoreAllMocks();
  const kinds = new Set(healthy.operations.map(({ name }) => name));
  console.log(
    `${count} operations (${[...kinds].sort().join(', ')}); ${counted.guards + counted['heartbeat stopped'] + counted.NEITHER} faults injected: ` +
      `the guard guards ${counted.guards}, the heartbeat has stopped ${counted['heartbeat stopped']}, neither ${counted.NEITHER}\n${still.join('\n')}`,
  );
  expect(bad).toEqual([]);
  expect(counted.guards).toBeGreaterThan(0);
}, 1_800_000);
