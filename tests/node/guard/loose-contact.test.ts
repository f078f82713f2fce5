import { expect, test } from 'vitest';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { guard } from '../../../node/guard/guard.js';
import { startGuard } from '../../../node/guard/guard-state.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { seed, shortOrLong } from '../../long-form.js';
import { drawFlaws, NoisyChannel, thermistorResolution } from '../../simulation/campaign/sensor-noise.js';
import { kitWith, ntcOn } from '../kit-with.js';

const hours = shortOrLong(200, 4_000);
const hoursOfABoat = 20;
const passS = 0.2;
const fitted = settingsFromKit(
  kitWith(
    [
      { id: 'elbow', channel: ntcOn('A0') },
      { id: 'gas', place: 'dry-exhaust', channel: { kind: 'ad8495', pin: 'A1' } },
    ],
    { engines: { port: { runningInput: { pin: 2 } } } },
  ),
);

/** Limits as commissioning proposes them for an elbow that stays below 61 C. */
const settings = {
  ...fitted,
  probes: fitted.probes.map((probe) =>
    probe.place === 'wet-elbow'
      ? {
          ...probe,
          warning: { raiseAt: 73, clearAt: 67, holdS: 2 },
          alarm: { raiseAt: 84, clearAt: 76, holdS: 1 },
        }
      : probe,
  ),
};

/**
 * Sails one boat whose elbow has a loose contact on an engine that runs, and counts how often the engine is called unseen and how
 * often its cooling lost. The time in which the contact has been sure for half a minute is passed over: nothing can happen in it.
 */
const sail = (random: ReturnType<typeof makeRandom>) => {
  const flaws = drawFlaws(random, true, false);
  const channel = new NoisyChannel('elbow', flaws, thermistorResolution, random);
  const bursts = flaws.burstsPerHour / 3600;
  const dropouts = flaws.dropoutsPerHour / 3600;
  let state = startGuard(asMonotonicMs(0));
  let [ms, sailedS, sureS] = [0, 0, 0];
  const counts = { 'blind:port': 0, 'cooling:port': 0 };
  let before: readonly string[] = [];
  while (sailedS < hoursOfABoat * 3600) {
    const known = state.sight.probes.elbow?.unseenS ?? 0;
    sureS = channel.isSure && known === 0 ? sureS + passS : 0;
    if (sureS > 30 && ms > 60_000) {
      sailedS -= Math.log(1 - random.next()) / (bursts + dropouts);
      channel.loosen(random.chance(bursts / (bursts + dropouts)) ? 'burst' : 'dropout');
      sureS = 0;
    }
    sailedS += passS;
    ms += passS * 1000;
    const nowMs = asMonotonicMs(ms);
    const elbow = channel.read(ms, 58 + 2 * Math.sin(ms / 100_000), passS);
    const temperatureC = 300 + 5 * Math.sin(ms / 100_000);
    const gas: Reading = {
      probe: 'gas',
      readAtMs: nowMs,
      result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 2 },
    };
    state = guard(
      state,
      { nowMs, readings: [elbow, gas], running: { port: true }, board: 'connected' },
      settings,
    ).state;
    const active = state.entries
      .filter(({ alert }) => alert.state !== 'rectified')
      .map(({ alert }) => alert.id);
    for (const id of ['blind:port', 'cooling:port'] as const)
      if (active.includes(id) && !before.includes(id)) counts[id]++;
    before = active;
  }
  return counts;
};

test(`an elbow with a loose contact (1 to 6 bursts an hour of up to 8 s) makes an engine unseen, or its cooling lost, at most once in 1,000 h; ${hours} h, seed ${seed}`, () => {
  const random = makeRandom(seed);
  let [unseen, lost] = [0, 0];
  for (let h = 0; h < hours; h += hoursOfABoat) {
    const counts = sail(random);
    unseen += counts['blind:port'];
    lost += counts['cooling:port'];
  }
  console.log(`${unseen} times unseen and ${lost} times lost in ${hours} h`);
  expect(unseen).toBeLessThanOrEqual(hours / 1000);
  expect(lost).toBeLessThanOrEqual(hours / 1000);
}, 1_800_000);
