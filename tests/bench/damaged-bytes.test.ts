import { afterEach, describe, expect, it, vi } from 'vitest';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import { makeRandom } from '../../node/bench/plant/random.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { AnalogChannel } from '../../node/input/analog-channel.js';
import { asMonotonicMs, asWallMs } from '../../node/time/clock.js';
import { seed, shortOrLong } from '../long-form.js';
import { useEmulatedTimers } from './board-rig.js';
import { SpeakerLine, SpeakerRig } from './speaker-rig.js';

const cases = shortOrLong(300, 20_000);
const everyS = 0.5;
/** Bytes either way in that time, roughly: the damaged one is drawn among them. */
const bytesInThatTime = 700;

let rig: SpeakerRig | undefined;
afterEach(async () => {
  await rig?.link.close();
  rig = undefined;
  vi.useRealTimers();
});

const active = ({ last }: SpeakerRig) => (last?.alerts ?? []).map(({ id, state }) => `${id} ${state}`).sort();

/** Damages one byte, either way, every half second; returns what differed from the undisturbed state and when. */
async function campaign(on: SpeakerRig): Promise<string[]> {
  const random = makeRandom(seed);
  const undisturbed = active(on).join();
  const differences: string[] = [];
  let countdown = 0;
  const damages: string[] = [];
  on.line.damage = (byte, toBoard) => {
    countdown -= 1;
    if (countdown !== 0) return byte;
    const damaged = byte ^ Math.floor(random.between(1, 256));
    damages.push(`${toBoard ? 'to' : 'from'} the board ${byte.toString(16)} -> ${damaged.toString(16)}`);
    return damaged;
  };
  let before = undisturbed;
  for (let at = 1; at <= cases; at++) {
    countdown = Math.floor(random.between(1, bytesInThatTime));
    await on.run(everyS, () => {
      const now = active(on).join();
      const stopped = on.boat.pins.missingPulseSounding ? ' and the missing-pulse circuit sounds' : '';
      if (now + stopped !== before && now + stopped !== undisturbed)
        differences.push(`case ${at}, after ${damages.slice(-12).join(', ')}: ${now}${stopped}`);
      before = now + stopped;
    });
  }
  return differences;
}

describe(`one damaged byte, ${cases} times (seed ${seed}), on the whole way from the wire to the alerts`, () => {
  it('raises no alert on a boat that is well', { timeout: 3_600_000 }, async () => {
    useEmulatedTimers();
    rig = new SpeakerRig(seed);
    await rig.run(20);
    expect(active(rig)).toEqual([]);
    expect(await campaign(rig)).toEqual([]);
    expect(rig.link.counters().refused).toBeGreaterThan(cases / 10);
  });

  it('hides no active alert', { timeout: 3_600_000 }, async () => {
    useEmulatedTimers();
    rig = new SpeakerRig(seed);
    rig.boat.elements.get('port-elbow')?.dip(() => 90);
    await rig.run(30);
    expect(active(rig)).toEqual(['cooling:port unacknowledged']);
    expect(await campaign(rig)).toEqual([]);
  });
});

it('an order damaged so that it switches a channel off is noticed and repaired within a second', async () => {
  useEmulatedTimers();
  rig = new SpeakerRig(seed);
  await rig.run(10);
  const reportOfChannel1 = 0xc1;
  const digitalMessageOfPort1 = 0x91;
  let bytesAfter = 0;
  rig.line.damage = (byte, toBoard) => {
    if (!toBoard) return byte;
    if (bytesAfter > 0) return bytesAfter++ === 1 ? reportOfChannel1 : byte;
    bytesAfter = Number(byte === digitalMessageOfPort1);
    return byte;
  };
  await rig.run(1);
  const { refused } = rig.link.counters();
  expect(refused).toBeGreaterThan(30);
  await rig.run(2);
  expect(rig.link.counters().refused).toBe(refused);
});

describe('how far a damaged byte gets', () => {
  it('most are refused at the gate, some pass as wrong counts, none moves the mean of a pass by a whole count', async () => {
    useEmulatedTimers();
    const trueCounts = 417;
    let nowMs = 0;
    const clock = { monotonicMs: () => asMonotonicMs(nowMs), wallMs: () => asWallMs(nowMs) };
    const line = new SpeakerLine({ ...nothingConnected, analogCounts: () => trueCounts + 0.5 });
    const board = new LiveBoard(line, clock);
    let wrongCounts = 0;
    const channels = ['A0', 'A1', 'A2', 'A3'].map((pin) => {
      const input = board.analogInput(pin);
      input.onCounts((counts) => {
        wrongCounts += Number(counts !== trueCounts);
      });
      return new AnalogChannel(pin, input, clock);
    });
    const pass = async () => {
      for (let ms = 0; ms < 100; ms += 10) {
        nowMs += 10;
        await line.advance(10);
      }
      return channels.map((channel) => channel.take()?.sample);
    };
    for (let i = 0; i < 10; i++) await pass();

    const random = makeRandom(seed);
    let countdown = 0;
    line.damage = (byte) => (--countdown === 0 ? byte ^ (1 << Math.floor(random.between(0, 8))) : byte);
    let worstMean = 0;
    let emptyPasses = 0;
    for (let at = 0; at < cases; at++) {
      countdown = Math.floor(random.between(1, 110));
      const samples = await pass();
      emptyPasses += samples.filter((sample) => sample === undefined).length;
      for (const sample of samples)
        if (sample?.kind === 'counts')
          worstMean = Math.max(worstMean, Math.abs(sample.counts - trueCounts - 0.5));
    }
    const { refused } = board.counters();
    console.info(
      `${cases} flipped bits: ${refused} refusals, ${wrongCounts} wrong counts past the gate, the mean of a pass off by ${worstMean.toFixed(1)} counts at most, ${emptyPasses} of ${4 * cases} channel passes without counts`,
    );
    await board.close();
    expect(refused).toBeGreaterThan(cases / 4);
    expect(wrongCounts).toBeGreaterThan(0);
    expect(worstMean).toBeLessThan(1);
    expect(emptyPasses).toBeLessThan(cases * 0.2);
  });
});
