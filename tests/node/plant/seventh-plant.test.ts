import { expect, test } from 'vitest';
import { healthy } from '../../../node/bench/plant/ailments.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { twins } from '../../../node/bench/plant/twins.js';
import { drawBoat } from '../../simulation/seventh-plant/draw-boat.js';
import { counterflow } from '../../simulation/seventh-plant/heat.js';
import { quenchedC, saturationKgPerKg } from '../../simulation/seventh-plant/humid-gas.js';
import { RawWater } from '../../simulation/seventh-plant/raw-water.js';
import { SeventhPlant } from '../../simulation/seventh-plant/seventh-plant.js';
import type { BoatTraits, MoverTraits, RawWaterTraits } from '../../simulation/seventh-plant/traits.js';

test('wet gas and exchangers agree with printed tables and two balances done by hand', () => {
  // ASHRAE Fundamentals, psychrometrics, saturated air at 101.325 kPa: 0.014758, 0.049141 and 0.15354 kg/kg.
  expect(saturationKgPerKg(20) / 0.014758).toBeCloseTo(1, 1.7);
  expect(saturationKgPerKg(40) / 0.049141).toBeCloseTo(1, 1.7);
  expect(saturationKgPerKg(60) / 0.15354).toBeCloseTo(1, 1.7);
  // 0.08 kg/s of dry gas leaves saturated at 40 C: it gives 0.08 * 1.09 * 410 = 35.75 kW, of which 0.08 * 0.049141 * 2382
  // = 9.36 kW evaporate water; the other 26.39 kW warm 1 kg/s of sea water by 26.39 / 3.99 = 6.61 K, from 33.39 C.
  expect(Math.abs(quenchedC(0.08, 450, 0, 1, 33.39, 20) - 40)).toBeLessThan(0.15);
  // A twentieth of the gas in water cannot saturate it: 39 240 + 319 - 9528 W over 87.2 + 15.96 W/K is 291.1 C.
  expect(quenchedC(0.08, 450, 0, 0.004, 20, 60)).toBeCloseTo(291.1, 1);
  // Kays and London, counterflow: one transfer unit at ratios 0, 0.5, 1; three at 0.5 is (1 - 0.2231) / (1 - 0.1116).
  expect(counterflow(1, 0)).toBeCloseTo(0.632, 3);
  expect(counterflow(1, 0.5)).toBeCloseTo(0.565, 3);
  expect(counterflow(1, 1)).toBeCloseTo(0.5, 3);
  expect(counterflow(3, 0.5)).toBeCloseTo(0.8745, 3);
});

test('a propeller asks the cube of the speed, and one a fifth too heavy holds the engine at 93 % of it', () => {
  const plant = calm(drawBoat(makeRandom(5), 'displacement'), {
    propellerExponent: 3,
    powerExponent: 0.5,
    propellerFit: 0.96,
    alternatorKw: 0,
  });
  const { mover } = plant.engines.port;
  const at = (lever: number) => {
    run(plant, lever, 400);
    // Pumps of the engine itself take 1.2 % of rated power, by the square of the speed.
    return { rpm: plant.rpm('port'), brakeW: mover.brakeW, ownPart: 0.012 * mover.speedPart ** 2 };
  };
  const full = at(1);
  const less = at(0.75);
  const ratedW = full.brakeW / (0.96 + full.ownPart);
  const propellerW = (one: typeof full) => one.brakeW - one.ownPart * ratedW;
  expect(propellerW(less) / propellerW(full) / (less.rpm / full.rpm) ** 3).toBeCloseTo(1, 2);
  // 1.25 * 0.96 = 1.2 times the power: n^3 * 1.2 = n^0.5 where n = 1.2^(-1/2.5) = exp(-0.4 * 0.18232) = 0.9297.
  // Both screws alike: beside a faster one, the slower would be partly towed.
  for (const id of twins) plant.engines[id].ailments.load = 1.25;
  expect(at(1).rpm / full.rpm).toBeCloseTo(0.9297, 3);
});

test('first law: fuel power that is not work leaves with the water and the gas, all but what warms the engine room', () => {
  const boats = [...Array(14).keys()]
    .map((seed) => calm(drawBoat(makeRandom(seed + 300), seed % 4 === 0 ? 'generator' : undefined)))
    // A keel cooler gives its heat to the sea without a pump.
    .filter((plant) => plant.engines.port.traits.cooling.kind !== 'keel');
  expect(boats.length).toBeGreaterThan(9);
  const shares = boats.map((plant) => {
    run(plant, 0.8, 4500);
    const { mover, raw, elbow, traits } = plant.engines.port;
    const waterKgPerS = raw.deliveredLitresPerS * 1.025;
    const overSeaK = elbow.mixedC - plant.seaC;
    const vapour = saturationKgPerKg(elbow.mixedC) - mover.gasHumidity;
    const outW =
      waterKgPerS * 3990 * overSeaK + mover.gasKgPerS * (1090 * (elbow.mixedC - 25) + 2_382_000 * vapour);
    return outW / (mover.fuelW - mover.brakeW * (1 - traits.cooling.oilShare));
  });
  // Radiation and convection of block, manifold and elbow: 3 to 15 % of the heat, common practice for engine-room fans.
  expect(Math.max(...shares)).toBeLessThan(1.01);
  expect(Math.min(...shares)).toBeGreaterThan(0.83);
});

test('a healthy boat stays where a mechanic would have her, from the coldest sea to the warmest', () => {
  let hottestHoseC = 0;
  let hottestElbowC = 0;
  let leastFlow = 1;
  const idleC: number[] = [];
  const fullC: number[] = [];
  for (let seed = 0; seed < 40; seed++) {
    const traits = drawBoat(makeRandom(seed), seed % 4 === 0 ? 'generator' : undefined);
    const seaC = 4 + (26 * seed) / 39;
    const plant = new SeventhPlant(traits, { seaC, outsideC: seaC + 2, seed, outing: seed % 16 });
    for (const lever of [0.07, 0.7, 1, 0.05]) {
      run(plant, lever, 300);
      for (const id of twins) {
        const engine = plant.engines[id];
        hottestHoseC = Math.max(hottestHoseC, engine.hoseC);
        hottestElbowC = Math.max(hottestElbowC, engine.probes.ringC, engine.probes.wellC);
        leastFlow = Math.min(leastFlow, engine.flowPart);
        if (lever === 0.07) idleC.push(engine.mover.gasC);
        if (lever === 1 && traits.kind !== 'sail') fullC.push(engine.mover.gasC);
      }
    }
  }
  // Hose below 75 C and elbow below 80 C while water flows; gas of 60 to 250 C idling, 300 to 700 C at full load; all
  // but a fifth of the water through worn vanes, a slipping belt and a weedy strainer. Common practice, no source.
  expect(hottestHoseC).toBeLessThan(75);
  expect(hottestElbowC).toBeLessThan(80);
  expect(leastFlow).toBeGreaterThan(0.8);
  expect(Math.min(...idleC)).toBeGreaterThan(60);
  expect(Math.max(...idleC)).toBeLessThan(260);
  expect(Math.min(...fullC)).toBeGreaterThan(300);
  expect(Math.max(...fullC)).toBeLessThan(700);
});

test('suction sets the flow: a tenth of the strainer passes 53 %, and a shut intake gives what its hose holds', () => {
  // At its limit of 58 kPa through 8 + 2 / 0.1^2 = 208 kPa at rated flow: sqrt(58 / 208) = 0.528.
  const ailments = { ...healthy(), strainer: 0.1 };
  const clogged = new RawWater(plainPump, 0);
  for (let i = 0; i < 100; i++) clogged.step(0.2, 1, ailments, 1, 1, 0);
  expect(clogged.flowPart).toBeCloseTo(0.528, 3);
  // A fifth costs 8 + 2 / 0.2^2 = 58 kPa at rated flow, so half speed asks a quarter of that and gets its water, less
  // what tips leak: 12 % at the limit, 3 % at a quarter of it.
  ailments.strainer = 0.2;
  for (let i = 0; i < 100; i++) clogged.step(0.2, 0.5, ailments, 1, 1, 0);
  expect(clogged.flowPart).toBeCloseTo(0.97, 2);
  // 1 L/s out of 3 L of collapsing hose: about three seconds, and then nothing.
  const shut = new RawWater(plainPump, 0);
  for (let i = 0; i < 20; i++) shut.step(0.1, 1, healthy(), 1, 1, 0);
  let givenLitres = 0;
  for (let i = 0; i < 100; i++) {
    shut.step(0.1, 1, { ...healthy(), intake: 0 }, 1, 1, 0);
    givenLitres += 0.1 * shut.flowPart;
  }
  expect(givenLitres).toBeCloseTo(3, 2);
  expect(shut.flowPart).toBe(0);
  expect(shut.pressureKpa).toBeLessThan(0.1);
});

test('without water the hose of every boat at full power comes to the heat of the gas, block and jacket boil first', () => {
  for (let seed = 0; seed < 12; seed++) {
    const plant = calm(drawBoat(makeRandom(seed + 70)));
    run(plant, 1, 600);
    const { elbow, mover, cooling } = plant.engines.starboard;
    const beforeC = elbow.hoseC;
    plant.bagIntake('starboard');
    run(plant, 1, 15);
    expect(plant.engines.starboard.flowPart).toBeLessThan(0.02);
    run(plant, 1, 900);
    expect(elbow.hoseC).toBeGreaterThan(beforeC + 100);
    expect(elbow.hoseC).toBeLessThan(mover.gasC + 1);
    // A pressure cap lifts at about 115 C; a keel cooler needs no raw water.
    expect(cooling.blockC).toBeLessThan(115.1);
    if (plant.engines.starboard.traits.cooling.kind !== 'keel') expect(cooling.blockC).toBeGreaterThan(100);
    expect(plant.engines.port.hoseC).toBeLessThan(75);
  }
});

const plainPump: RawWaterTraits = {
  ratedLitresPerS: 1,
  beltSlip: 0,
  suctionKpa: 8,
  strainerKpa: 2,
  vacuumLimitKpa: 58,
  hoseLitres: 3,
  airLeak: 0,
  downstreamLitres: 2,
  keptPart: 1,
  drainS: 30,
  dischargeKpa: 50,
  headKpa: 5,
  primeS: 1,
  gulps: 0,
};

/** The boat in April in a flat sea of 15 C that is the same everywhere, with `mover` in both engines where it differs. */
function calm(traits: BoatTraits, mover: Partial<MoverTraits> = {}): SeventhPlant {
  const still = { ...traits, harbourK: 0, seaWanderK: 0, frontK: 0 };
  const fitted = (id: 'port' | 'starboard') => {
    const engine = still.engines[id];
    return { ...engine, mover: { ...engine.mover, ...mover } };
  };
  const engines = { port: fitted('port'), starboard: fitted('starboard') };
  return new SeventhPlant({ ...still, engines }, { seaC: 15, outsideC: 25, seed: 8 });
}

function run(plant: SeventhPlant, lever: number, seconds: number): void {
  for (const id of twins) plant.setThrottle(id, lever);
  for (let i = 0; i < seconds * 5; i++) plant.step(0.2);
}
