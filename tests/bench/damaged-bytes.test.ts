import { afterEach, describe, expect, it, vi } from 'vitest';
import { makeRandom } from '../../node/bench/plant/random.js';
import { useEmulatedTimers } from './board-rig.js';
import { SpeakerRig } from './speaker-rig.js';

/** The whole campaign is DAMAGE_CASES=100000; in the suite a share of it that takes seconds. */
const cases = Number(process.env.DAMAGE_CASES ?? 2000);
const seed = Number(process.env.DAMAGE_SEED ?? 1);
const everyS = 0.5;
/** Bytes either way in that time, roughly: the damaged one is drawn among them. */
const bytesInThatTime = 700;

let rig: SpeakerRig | undefined;
afterEach(async () => {
  await rig?.link.close();
  rig = undefined;
  vi.useRealTimers();
});

const standing = ({ last }: SpeakerRig) =>
  (last?.alerts ?? []).map(({ id, state }) => `${id} ${state}`).sort();

/** Damages one byte, either way, every half second; returns what differed from the undisturbed state and when. */
async function campaign(on: SpeakerRig): Promise<string[]> {
  const random = makeRandom(seed);
  const undisturbed = standing(on).join();
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
      const now = standing(on).join();
      const stopped = on.boat.pins.missingPulseSounding ? ' and the missing-pulse circuit sounds' : '';
      if (now + stopped !== before && now + stopped !== undisturbed)
        differences.push(
          `case ${at}, ${damages.slice(-12).join(', ')}: ${now}${stopped} ${on.link.status().detail} ${JSON.stringify(on.link.counters())}`,
        );
      before = now + stopped;
    });
  }
  return differences;
}

describe(`one damaged byte, ${cases} times, on the whole way from the wire to the alerts`, () => {
  it('raises no alert on a boat that is well', { timeout: 3_600_000 }, async () => {
    useEmulatedTimers();
    rig = new SpeakerRig(seed);
    await rig.run(20);
    expect(standing(rig)).toEqual([]);
    expect(await campaign(rig)).toEqual([]);
    expect(rig.link.counters().refused).toBeGreaterThan(cases / 10);
  });

  it('hides no alert that stands', { timeout: 3_600_000 }, async () => {
    useEmulatedTimers();
    rig = new SpeakerRig(seed);
    rig.boat.elements.get('port-elbow')?.dip(() => 90);
    await rig.run(30);
    expect(standing(rig)).toEqual(['cooling:port unacknowledged']);
    expect(await campaign(rig)).toEqual([]);
  });
});
