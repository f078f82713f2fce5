import { describe, expect, it } from 'vitest';
import { guard } from '../../../node/guard/guard.js';
import { valued } from '../../../node/reading/quantity.js';
import { qualityOf, type Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { elbow, gas, learnedBoat, PumpBoat, pump, settingsWith, speed, withoutInput } from './pump-boat.js';

describe.each([
  ['without', settingsWith(gas, pump)],
  ['with', settingsWith(gas, pump, speed)],
])('a pump learned by exhaust gas, %s a speed input beside it', (_, settings) => {
  it.each([
    [0.05, 300],
    [0.75, 60],
    [1, 200],
  ])(
    'a closed intake at throttle %d is an alarm within 5 s, and ends when water is back',
    (throttle, settleS) => {
      const boat = learnedBoat(settings);
      boat.plant.setThrottle('port', throttle);
      expect(boat.run(settleS)).toBeUndefined();
      boat.plant.bagIntake('port');
      const afterS = boat.run(10);
      expect(afterS).toBeLessThanOrEqual(5);
      expect(boat.alert?.priority).toBe('alarm');
      expect(boat.alert?.message).toMatch(/kPa, usually \d+\./);
      boat.plant.clearIntake('port');
      boat.run(60);
      expect(boat.alert?.state).toBe('rectified');
    },
  );

  it('says nothing of throttles slammed, air drawn in a seaway, a stop and a hot restart', () => {
    const boat = learnedBoat(settings);
    boat.plant.roughness = 1;
    for (const throttle of [0.75, 0.05, 1, 0.05, 0.4, 0.9, 0, 0.05, 0.75]) {
      boat.plant.setThrottle('port', throttle);
      expect(boat.run(180)).toBeUndefined();
    }
  });

  it('says nothing when the water follows slammed throttles five seconds late', () => {
    const boat = new PumpBoat(settings);
    boat.waterLagS = 5;
    boat.run(120);
    for (const throttle of [0.05, 0.75, 1, 0.05, 0.75, 0.05, 1, 0.05, 0.9, 0.05, 0.5, 1]) {
      boat.plant.setThrottle('port', throttle);
      expect(boat.run(200)).toBeUndefined();
    }
  });

  it('says nothing of draughts of air that halve the flow for five seconds; a loss that stays is an alarm within 10 s', () => {
    const boat = learnedBoat(settings);
    boat.plant.setThrottle('port', 0.75);
    boat.run(120);
    for (let draught = 0; draught < 6; draught++) {
      boat.airLeaves = 0.35;
      expect(boat.run(5)).toBeUndefined();
      boat.airLeaves = 1;
      expect(boat.run(6)).toBeUndefined();
    }
    boat.airLeaves = 0.35;
    expect(boat.run(12)).toBeLessThanOrEqual(10);
    expect(boat.alert?.priority).toBe('alarm');
  });

  it('half of an impeller is detected within 30 s', () => {
    const boat = learnedBoat(settings);
    boat.plant.setThrottle('port', 0.75);
    boat.run(120);
    boat.plant.wearImpeller('port', 0.5);
    expect(boat.run(60)).toBeLessThanOrEqual(30);
  });

  it('what was learned and the zero outlast a restart of the guard', () => {
    const boat = learnedBoat(settings);
    boat.restart();
    boat.run(60);
    boat.plant.bagIntake('port');
    expect(boat.run(10)).toBeLessThanOrEqual(5);
  });
});

describe('a pressure within the error of its zero shows no cooling where no other probe does', () => {
  it('a weak pump at idle sounds; at cruise and once its zero is known it does not, and its loss is found', () => {
    const boat = new PumpBoat(settingsWith(elbow, gas, pump));
    boat.zeroKpa = 4;
    boat.airLeaves = 0.4;
    boat.plant.setThrottle('port', 0.05);
    expect(boat.soundsWithin(40)).toBeDefined();
    expect(boat.alertOf('blind:port')?.message).toContain(
      'taken while the engine is stopped for two minutes',
    );
    boat.run(300);
    boat.plant.setThrottle('port', 0.75);
    boat.run(300);
    expect(boat.alertOf('blind:port')?.state).not.toBe('unacknowledged');
    boat.plant.setThrottle('port', 0);
    boat.run(200);
    expect(boat.state.probes.pump?.pump?.state.zeroKpa).toBeCloseTo(4, 0);
    boat.plant.setThrottle('port', 0.05);
    boat.run(120);
    expect(boat.alertOf('blind:port')?.state).not.toBe('unacknowledged');
    expect(boat.alertOf('cooling:port')).toBeUndefined();
    boat.plant.bagIntake('port');
    expect(boat.run(10)).toBeLessThanOrEqual(6);
  });

  it('a loss that an unknown zero hides sounds as a blindness', () => {
    const boat = new PumpBoat(settingsWith(elbow, gas, pump));
    boat.zeroKpa = 4;
    boat.plant.setThrottle('port', 0.05);
    boat.run(60);
    expect(boat.alertOf('blind:port')).toBeUndefined();
    boat.plant.bagIntake('port');
    expect(boat.soundsWithin(40)).toBeDefined();
    expect(boat.alertOf('blind:port')?.state).toBe('unacknowledged');
  });

  it('2 kPa at idle are less than a known zero may have wandered since the last stop', () => {
    const boat = learnedBoat(settingsWith(elbow, gas, pump));
    boat.plant.setThrottle('port', 0.05);
    boat.run(300);
    expect(boat.alertOf('blind:port')).toBeUndefined();
    // A partial loss while the gas falls too, as on a pump that gives little: whatever the rules find, it sounds.
    boat.airLeaves = 0.1;
    expect(boat.soundsWithin(40)).toBeDefined();
  });
});

describe('a pump of which nothing is known yet', () => {
  it('that never gives water after a start is an alarm within 20 s', () => {
    const boat = new PumpBoat(settingsWith(gas, pump));
    boat.run(120);
    boat.plant.bagIntake('port');
    boat.plant.engines.port?.step(30, { seaC: 18, roomC: 20 });
    boat.plant.setThrottle('port', 0.05);
    expect(boat.run(30)).toBeLessThanOrEqual(20);
    expect(boat.alert?.rule).toBe('no-raw-water');
  });

  it('takes its zero at a stop', () => {
    const boat = new PumpBoat(settingsWith(gas, pump));
    boat.run(240);
    expect(boat.state.probes.pump?.pump?.state.zeroKpa).toBeCloseTo(1.5, 1);
  });
});

it('a broken wire is a fault of the probe and no loss of water, and with no other probe a blindness that sounds', () => {
  const boat = learnedBoat(settingsWith(gas, pump));
  boat.missing = 'open';
  expect(boat.run(60)).toBeUndefined();
  const active = boat.state.entries
    .filter(({ alert }) => alert.state !== 'rectified')
    .map(({ alert }) => alert);
  expect(active.map(({ id, priority }) => `${id} ${priority}`).sort()).toEqual([
    'blind:port warning',
    'probe-fault:pump caution',
  ]);
});

it('a believable pressure probe shows the cooling: an engine without an elbow probe is not blind', () => {
  const boat = learnedBoat(settingsWith(gas, pump));
  expect(boat.run(120, 'blind:port')).toBeUndefined();
});

describe.each([
  ['the pump alone', withoutInput(pump), false],
  ['an exhaust-gas probe beside it', withoutInput(gas, pump), false],
  ['an exhaust-gas probe that is lost', withoutInput(gas, pump), true],
  ['an elbow probe that is lost', withoutInput(elbow, gas, pump), false],
  ['elbow and exhaust-gas probes that are lost', withoutInput(elbow, gas, pump), true],
])('without a running input, with %s', (_, settings, gasMissing) => {
  it.each([0.05, 0.75, 1])('a closed intake at throttle %d sounds within 25 s', (throttle) => {
    const boat = new PumpBoat(settings);
    boat.gasMissing = gasMissing;
    boat.plant.setThrottle('port', throttle);
    boat.run(300);
    boat.plant.bagIntake('port');
    expect(boat.soundsWithin(25)).toBeDefined();
    expect(['cooling:port', 'blind:port'].map((id) => boat.alertOf(id)?.state)).toContain('unacknowledged');
    expect(boat.alertOf('probe-fault:elbow')?.message ?? '').not.toContain('still guards');
  });

  it('a pump that surely gives water is quiet', () => {
    const boat = new PumpBoat(settings);
    boat.gasMissing = gasMissing;
    boat.plant.setThrottle('port', 0.75);
    boat.plant.step(30);
    expect(boat.soundsWithin(600)).toBeUndefined();
  });
});

it.each([
  ['with', settingsWith(elbow, pump)],
  ['without', withoutInput(elbow, pump)],
])(
  '%s a running input a pressure that does not change by a digit shows nothing after 20 minutes',
  (which, settings) => {
    const boat = new PumpBoat(settings);
    boat.plant.setThrottle('port', 0.75);
    boat.plant.step(30);
    boat.run(30);
    expect(boat.alertOf('probe-fault:elbow')?.message.includes('still guards')).toBe(which === 'with');
    boat.frozenKpa = 60;
    expect(boat.run(1150, 'blind:port')).toBeUndefined();
    expect(boat.run(80, 'blind:port')).toBeDefined();
    expect(boat.alertOf('blind:port')?.message).toContain('exactly the same for 20 minutes');
    expect(boat.alertOf('probe-fault:elbow')?.message).not.toContain('still guards');
  },
);

it('a pump that pushes although the only input says stopped sounds: one of the two is wrong', () => {
  const boat = new PumpBoat(settingsWith(pump));
  boat.inputSays = false;
  boat.plant.setThrottle('port', 0.75);
  boat.plant.step(30);
  expect(boat.soundsWithin(150)).toBeDefined();
  expect(boat.alertOf('blind:port')?.message).toContain('although its running input says stopped');
});

it('a pressure that stays up with the engine stopped is a fault of the probe', () => {
  const boat = learnedBoat(settingsWith(gas, pump));
  boat.plant.setThrottle('port', 0);
  boat.run(60);
  const stuck = (nowS: number): Reading => ({
    probe: 'pump',
    readAtMs: asMonotonicMs(nowS * 1000),
    result: { kind: 'measured', ...valued('pressure', 55, 1) },
  });
  let { state } = boat;
  for (let s = 1; s < 240; s++) {
    const nowMs = asMonotonicMs((boat.atS + s) * 1000);
    const input = {
      nowMs,
      readings: [stuck(boat.atS + s)],
      running: { port: false },
      board: 'connected' as const,
    };
    ({ state } = guard(state, input, settingsWith(gas, pump)));
  }
  expect(qualityOf(stuck(0))).toBe('good');
  expect(state.entries.map(({ alert }) => alert.rule)).toContain('probe-pressure-at-rest');
});
