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

/** 25 minutes: an elbow that does not move for two hours is reported with reason. */
const casesInOneCruise = 3_000;

let rig: SpeakerRig | undefined;
afterEach(async () => {
  await rig?.link.close();
  rig = undefined;
  vi.useRealTimers();
});

const active = ({ last }: SpeakerRig) => (last?.alerts ?? []).map(({ id, state }) => `${id} ${state}`).sort();

/**
 * Damages one byte, either way, every half second. A damaged order can make the board stop receiving, or slow until the node
 * repairs it; then the missing-pulse circuit sounds. That is the safe side, so it is counted. Returned as wrong is every
 * difference of the alerts from the undisturbed state, after a sounding too.
 */
async function campaign(start: () => Promise<SpeakerRig>) {
  const random = makeRandom(seed);
  const wrong: string[] = [];
  let [soundings, longestSoundingS, refused] = [0, 0, 0];
  for (let done = 0; done < cases; done += casesInOneCruise) {
    rig = await start();
    const on = rig;
    const undisturbed = active(on).join();
    const damages: string[] = [];
    let countdown = 0;
    let passesSounding = 0;
    on.line.damage = (byte, toBoard) => {
      countdown -= 1;
      if (countdown !== 0) return byte;
      const damaged = byte ^ Math.floor(random.between(1, 256));
      damages.push(`${toBoard ? 'to' : 'from'} the board ${byte.toString(16)} -> ${damaged.toString(16)}`);
      return damaged;
    };
    for (let at = 0; at < Math.min(casesInOneCruise, cases - done); at++) {
      countdown = Math.floor(random.between(1, bytesInThatTime));
      await on.run(everyS, () => {
        passesSounding = on.boat.pins.missingPulseSounding ? passesSounding + 1 : 0;
        if (passesSounding === 1) soundings += 1;
        longestSoundingS = Math.max(longestSoundingS, passesSounding / 10);
        const now = active(on).join();
        if (now !== undisturbed)
          wrong.push(`case ${done + at}, after ${damages.slice(-12).join(', ')}: ${now}`);
      });
    }
    refused += on.link.counters().refused;
    await on.link.close();
  }
  console.info(
    `${cases} damaged bytes: ${soundings} soundings of the missing-pulse circuit, ${longestSoundingS} s at most`,
  );
  expect(refused).toBeGreaterThan(cases / 10);
  expect(soundings).toBeLessThanOrEqual(Math.ceil(cases / 1_000));
  expect(longestSoundingS).toBeLessThan(10);
  return wrong;
}

describe(`one damaged byte, ${cases} times (seed ${seed}), on the whole way from the wire to the alerts`, () => {
  it('raises no alert on a boat that is well', { timeout: 3_600_000 }, async () => {
    useEmulatedTimers();
    const wrong = await campaign(async () => {
      const well = new SpeakerRig(seed);
      await well.run(20);
      expect(active(well)).toEqual([]);
      return well;
    });
    expect(wrong).toEqual([]);
  });

  it('hides no active alert', { timeout: 3_600_000 }, async () => {
    useEmulatedTimers();
    const wrong = await campaign(async () => {
      const hot = new SpeakerRig(seed);
      hot.boat.elements.get('port-elbow')?.dip(() => 90);
      await hot.run(30);
      expect(active(hot)).toEqual(['cooling:port unacknowledged']);
      return hot;
    });
    expect(wrong).toEqual([]);
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
