import { describe, expect, test } from 'vitest';
import type { Ailments } from '../../../node/bench/plant/ailments.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { FifthPlant } from '../../simulation/fifth-plant/fifth-plant.js';
import { drawBoat } from '../../simulation/fifth-plant/traits.js';

const seaC = 16;
const ring = { engine: 'port', place: 'wet-elbow', mounting: 'strap-on' };
const gas = { engine: 'port', place: 'dry-exhaust', mounting: 'free' };

/** A generator set, a natural engine and two with turbochargers. */
const boats = [4, 5, 7, 10];
/** No fronts and no gulps, so that a steady state is one. */
function calm(seed: number): FifthPlant {
  const traits = drawBoat(makeRandom(seed));
  return new FifthPlant(
    { ...traits, sea: { ...traits.sea, frontsPerHour: 0, tideK: 0 } },
    { seaC, outsideC: 18, seed },
  );
}

function run(plant: FifthPlant, throttle: number, seconds: number): void {
  for (const id of ['port', 'starboard']) plant.setThrottle(id, throttle);
  for (let s = 0; s < seconds; s += 0.2) plant.step(0.2);
}

describe('the fifth plant', () => {
  test('at full power, fuel is work, heat overboard and heat to the room within 1.5 %, at temperatures of the trade', () => {
    for (const seed of boats) {
      const plant = calm(seed);
      const { diesel, exhaust, cooling, raw } = plant.engines.port;
      run(plant, 0.05, 400);
      expect(exhaust.elbowC, `elbow at idle, boat ${seed}`).toBeGreaterThan(seaC + 1);
      expect(exhaust.elbowC).toBeLessThan(seaC + 30);
      // Common practice, no source: 60 to 200 C at idle, 350 to 620 C at full power.
      expect(plant.elementTemperatureC(gas)).toBeGreaterThan(60);
      expect(plant.elementTemperatureC(gas)).toBeLessThan(200);
      run(plant, 1, 1300);
      const spentW = diesel.brakeW + exhaust.overboardW + plant.engines.port.roomW;
      expect(Math.abs(spentW / diesel.fuelW - 1), `balance of boat ${seed}`).toBeLessThan(0.015);
      expect(diesel.brakeW / diesel.fuelW).toBeGreaterThan(0.29);
      expect(diesel.brakeW / diesel.fuelW).toBeLessThan(0.43);
      expect(diesel.tailC).toBeGreaterThan(350);
      expect(diesel.tailC).toBeLessThan(620);
      expect(exhaust.elbowC).toBeGreaterThan(seaC + 8);
      expect(exhaust.elbowC).toBeLessThan(80);
      expect(cooling.coolantC).toBeLessThan(98);
      // From memory of makers' sheets: raw water warms by 5 to 25 K before the elbow.
      expect(cooling.outC - raw.lineC).toBeGreaterThan(5);
      expect(cooling.outC - raw.lineC).toBeLessThan(25);
    }
  });

  test('without water the elbow and the hose end near the gas, and the engine overheats', () => {
    for (const seed of [5, 7]) {
      const plant = calm(seed);
      const { exhaust, cooling } = plant.engines.port;
      run(plant, 0.7, 600);
      const beforeC = exhaust.elbowC;
      plant.bagIntake('port');
      run(plant, 0.7, 60);
      expect(plant.pumpPressureKpa('port')).toBe(0);
      expect(exhaust.elbowC).toBeGreaterThan(beforeC + 15);
      run(plant, 0.7, 900);
      expect(exhaust.hoseC).toBeGreaterThan(0.85 * exhaust.gasC);
      expect(exhaust.elbowC).toBeGreaterThan(0.6 * exhaust.gasC);
      expect(exhaust.elbowC).toBeLessThan(exhaust.gasC);
      expect(cooling.coolantC).toBeGreaterThan(100);
      plant.clearIntake('port');
      run(plant, 0.7, 300);
      expect(exhaust.elbowC).toBeLessThan(beforeC + 25);
    }
  });

  test('after a stop from full power the elbow soaks up heat, then cools towards the room', () => {
    const plant = calm(5);
    run(plant, 1, 600);
    const runningC = plant.elementTemperatureC(ring);
    let peakC = runningC;
    for (let minute = 0; minute < 30; minute++) {
      run(plant, 0, 60);
      peakC = Math.max(peakC, plant.elementTemperatureC(ring));
    }
    expect(plant.isRunning('port')).toBe(false);
    expect(peakC).toBeGreaterThan(runningC + 10);
    run(plant, 0, 5400);
    const { roomC } = plant.surroundings;
    expect(plant.elementTemperatureC(ring) - roomC).toBeLessThan(0.25 * (peakC - roomC));
  });

  test('the same seed gives the same temperatures in a seaway, another seed does not', () => {
    const sail = (seed: number) => {
      const plant = new FifthPlant(drawBoat(makeRandom(7)), { seaC, outsideC: 18, seed });
      plant.roughness = 0.8;
      run(plant, 0.8, 200);
      return [ring, gas, { ...ring, place: 'sea-water' }].map((spot) => plant.elementTemperatureC(spot));
    };
    expect(sail(3)).toEqual(sail(3));
    expect(sail(3)).not.toEqual(sail(4));
  });

  test('every ailment does what its name says', () => {
    const ill = (ailments: Partial<Ailments>, seconds = 240, throttle = 0.8) => {
      const plant = calm(6);
      run(plant, throttle, 240);
      Object.assign(plant.engines.port.ailments, ailments);
      run(plant, throttle, seconds);
      return plant;
    };
    const well = ill({});
    const flowPart = (ailments: Partial<Ailments>) => ill(ailments, 60).engines.port.flowPart;
    expect(well.engines.port.flowPart).toBeCloseTo(1, 6);
    expect(flowPart({ intake: 0.4 })).toBeCloseTo(0.4, 6);
    expect(flowPart({ impeller: 0.5 })).toBeGreaterThan(0.4);
    expect(flowPart({ impeller: 0.5 })).toBeLessThan(0.6);
    // A vane pump hardly minds half a strainer; nearly shut, its vacuum is the limit.
    expect(flowPart({ strainer: 0.5 })).toBeGreaterThan(0.85);
    expect(flowPart({ strainer: 0.02 })).toBeLessThan(0.3);
    expect(ill({ exchanger: 0.15 }).engines.port.cooling.coolantC).toBeGreaterThan(
      well.engines.port.cooling.coolantC + 3,
    );
    expect(ill({ load: 1.25 }).engines.port.diesel.fuelW).toBeGreaterThan(
      1.1 * well.engines.port.diesel.fuelW,
    );
    const hotterK = ill({ injectorK: 30 }).elementTemperatureC(gas) - well.elementTemperatureC(gas);
    expect(hotterK).toBeGreaterThan(15);
    expect(hotterK).toBeLessThan(35);
    const fallen = ill({ fallenProbe: true }, 500);
    expect(fallen.elementTemperatureC(ring)).toBeCloseTo(fallen.surroundings.roomC, 0);
    // Full power against a foul hull: the rack is at its stop and the speed falls.
    expect(ill({ load: 1.3 }, 60, 1).rpm('port')).toBeLessThan(0.98 * ill({}, 60, 1).rpm('port'));
  });

  test('air at the seacock stops the flow for seconds only, later than it was drawn', () => {
    const plant = calm(6);
    run(plant, 0.5, 300);
    const { raw, traits } = plant.engines.port;
    raw.gulp(traits.rawKgPerS);
    plant.step(0.2);
    expect(raw.flowPart).toBeCloseTo(1, 6);
    let dryS = 0;
    for (let s = 0; s < 60; s += 0.2) {
      plant.step(0.2);
      if (raw.flowPart < 0.2) dryS += 0.2;
    }
    expect(dryS).toBeGreaterThan(0.6);
    expect(dryS).toBeLessThan(6);
    expect(raw.flowPart).toBeCloseTo(1, 6);
  });
});
