import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BytePort } from '../../../node/board/byte-port.js';
import { parseFrame } from '../../../node/board/frames.js';
import { Supervisor } from '../../../node/board/supervisor.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { analogReport, answersAs, firmware, ScriptedOpener, ScriptedPort } from './scripted-port.js';

/** The numbers of the contract, restated: a cable that is out is known within 0.7 s, a retry comes within 2 s. */
const silenceMs = 700;
const nonsenseMs = 2_000;
const longestRetryMs = 2_000;

let supervisor: Supervisor | undefined;
beforeEach(() => {
  vi.useFakeTimers({ now: 0, toFake: ['setInterval', 'clearInterval', 'Date'] });
});
afterEach(async () => {
  await supervisor?.close();
  vi.useRealTimers();
});

const clock = { monotonicMs: () => asMonotonicMs(Date.now()), wallMs: () => asWallMs(Date.now()) };

/** A supervisor over scripted ports, with a board that only notes what it is asked to do. */
const supervised = (...next: (ScriptedPort | Error)[]) => {
  const opener = new ScriptedOpener(...next);
  const done: string[] = [];
  const said: string[] = [];
  const board = { awaitsScans: true };
  let port: BytePort | undefined;
  const made = new Supervisor(
    opener,
    {
      attach: (to) => {
        port = to;
        done.push(`attach ${to.label}`);
      },
      detach: () => {
        port = undefined;
        done.push('detach');
      },
      takeBytes: (bytes) => {
        const frame = parseFrame([...bytes]);
        if (frame) made.takeFrame(frame);
      },
      ask: (bytes) => port?.write(Uint8Array.from(bytes)),
      setUp: ({ firmware: { name } }) => done.push(`set up ${name}`),
      awaitsScans: () => board.awaitsScans,
      onStatus: () => said.push(`${made.status.state} ${made.status.trouble ?? ''}`.trim()),
    },
    clock,
  );
  supervisor = made;
  return { supervisor: made, opener, done, said, board };
};
const answering = (label = 'one', pins = 4) => {
  const port = new ScriptedPort(label);
  port.answer = answersAs(pins);
  return port;
};
const pass = (ms: number) => vi.advanceTimersByTimeAsync(ms);
/** Time passes while the board says something every 50 ms. */
const passWith = async (ms: number, say: () => void) => {
  for (let passed = 0; passed < ms; passed += 50) {
    say();
    await pass(50);
  }
};
const scans = (port: ScriptedPort) => () => port.says(analogReport(0, 417));
const setUps = (done: readonly string[]) => done.filter((what) => what.startsWith('set up')).length;

describe('from nothing to a board', () => {
  it('opens, asks, sets the pins up once, and says which firmware is where', async () => {
    const port = answering();
    const { supervisor, opener, done, said } = supervised(port);
    await pass(200);
    expect(done).toEqual(['attach one', 'set up StandardFirmata.ino']);
    expect(said).toEqual(['connected']);
    expect(supervisor.status).toMatchObject({ firmware: 'StandardFirmata.ino 2.5', port: 'one' });
    expect(opener.carried).toEqual(['one']);
  });

  it('what cannot be opened is tried again, ever more seldom and at last every 2 s, and is said once', async () => {
    const { supervisor, opener, said } = supervised(new Error('No such path.'));
    await pass(20_000);
    const waits = opener.openedAtMs.slice(1).map((atMs, i) => atMs - (opener.openedAtMs[i] ?? 0));
    expect(waits[0]).toBeLessThanOrEqual(150);
    for (const [i, wait] of waits.entries()) expect(wait).toBeGreaterThanOrEqual(waits[i - 1] ?? 0);
    expect(waits.at(-1)).toBeLessThanOrEqual(longestRetryMs + 50);
    expect(waits.at(-1)).toBeGreaterThanOrEqual(longestRetryMs);
    expect(said).toEqual(['connecting no-port']);
    expect(supervisor.status.detail).toBe('No such path.');
  });

  it('a port that sends nothing is given up after 8 s, and the next is first left in silence for 4 s', async () => {
    const [silent, next] = [new ScriptedPort('silent'), new ScriptedPort('next')];
    const { supervisor } = supervised(silent, next);
    await pass(8_000);
    expect(silent.written.length).toBeGreaterThan(10);
    await pass(500);
    expect(silent.closed).toBe(true);
    expect(supervisor.status).toMatchObject({ state: 'connecting', trouble: 'no-firmware' });
    await pass(3_000);
    expect(next.written).toEqual([]);
    await pass(1_500);
    expect(next.written.length).toBeGreaterThan(0);
  });
});

describe('a board that goes', () => {
  it(`says nothing for ${silenceMs} ms: lost, its port closed, and the next one opened`, async () => {
    const [first, second] = [answering('first'), answering('second')];
    const { supervisor, done, said, board } = supervised(first, second);
    board.awaitsScans = false;
    await passWith(1_000, scans(first));
    await pass(silenceMs - 50);
    expect(supervisor.isRunning).toBe(true);
    await pass(150);
    expect(first.closed).toBe(true);
    expect(said).toEqual(['connected', 'lost silent']);
    await pass(400);
    expect(supervisor.status).toMatchObject({ state: 'connected', port: 'second' });
    expect(done.slice(2)).toEqual(['detach', 'attach second', 'set up StandardFirmata.ino']);
    expect(supervisor.connects).toBe(2);
  });

  it(`says what makes no sense for ${nonsenseMs} ms: garbled`, async () => {
    const port = answering();
    const { said, board } = supervised(port, new Error('gone'));
    board.awaitsScans = false;
    await pass(200);
    await passWith(nonsenseMs + 200, () => port.says([0x12, 0x34]));
    expect(said).toContain('lost garbled');
  });

  it('closes its port: the link is down with the word of the port, and what the old port still sends is ignored', async () => {
    const [first, second] = [answering('first'), answering('second')];
    const { supervisor, done } = supervised(first, second);
    await pass(200);
    first.breaks('the cable was pulled out');
    expect(supervisor.status).toMatchObject({
      state: 'lost',
      trouble: 'link-down',
      detail: 'The link to first was lost: the cable was pulled out.',
    });
    await pass(500);
    const before = [...done];
    first.says(firmware());
    expect(supervisor.resets).toBe(0);
    expect(done).toEqual(before);
  });

  it('after 5 s of a good link is tried again as soon as at first; one that breaks at once waits longer each time', async () => {
    const port = answering();
    const { opener } = supervised(port);
    const againAfterMs = async () => {
      const brokeAtMs = Date.now();
      const opened = opener.openedAtMs.length;
      port.breaks('out');
      await passWith(3_000, scans(port));
      return (opener.openedAtMs[opened] ?? Number.NaN) - brokeAtMs;
    };
    await pass(200);
    const waits = [await againAfterMs(), await againAfterMs(), await againAfterMs()];
    expect(waits).toEqual([...waits].sort((a, b) => a - b));
    expect(waits[2]).toBeGreaterThan(2 * (waits[0] ?? 0));
    await passWith(6_000, scans(port));
    expect(await againAfterMs()).toBeLessThanOrEqual(150);
  });

  it('comes back as a board of another kind: refused by name, and its pins are never set up', async () => {
    const [first, other] = [answering('first', 4), answering('other', 6)];
    const { supervisor, done } = supervised(first, other);
    await pass(200);
    first.breaks('out');
    await pass(1_000);
    expect(supervisor.status).toMatchObject({ state: 'lost', trouble: 'other-board' });
    expect(setUps(done)).toBe(1);
  });
});

describe('a board that is there and forgot', () => {
  it('introduces itself without being asked: it restarted, and all pins are set up again on the same port', async () => {
    const port = answering();
    const { supervisor, done } = supervised(port);
    await pass(200);
    port.says(firmware());
    expect(supervisor.resets).toBe(1);
    expect(supervisor.connects).toBe(1);
    expect(setUps(done)).toBe(2);
  });

  it.each([
    ['awaited', true, 2],
    ['not awaited', false, 1],
  ] as const)('gives no scan for half a second, scans %s', async (_, awaitsScans, expected) => {
    const port = answering();
    const { done, board } = supervised(port);
    board.awaitsScans = awaitsScans;
    await pass(150);
    await passWith(700, () => port.says([0x90, 0, 0]));
    expect(setUps(done)).toBe(expected);
  });
});

describe('this computer', () => {
  it('slept for 10 s: the silence of that time is not held against the board', async () => {
    const port = answering();
    const { supervisor } = supervised(port);
    await passWith(500, scans(port));
    vi.setSystemTime(Date.now() + 10_000);
    await pass(100);
    expect(supervisor.isRunning).toBe(true);
  });

  it('closed while running lets go of the port and opens none any more', async () => {
    const port = answering();
    const { supervisor, opener } = supervised(port);
    await pass(200);
    await supervisor.close();
    expect(port.closed).toBe(true);
    await pass(5_000);
    expect(opener.openedAtMs).toHaveLength(1);
  });

  it('closed while a port is being opened closes that port when it comes', async () => {
    const port = answering();
    const { supervisor, done } = supervised(port);
    vi.advanceTimersByTime(50);
    await supervisor.close();
    await pass(100);
    expect(port.closed).toBe(true);
    expect(done).toEqual(['detach']);
  });
});
