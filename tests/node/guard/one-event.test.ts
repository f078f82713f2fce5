import { describe, expect, it } from 'vitest';
import type { AlertCommand } from '../../../node/alerts/alert.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { guard } from '../../../node/guard/guard.js';
import { startGuard } from '../../../node/guard/guard-state.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kit, type Load, loads, settings } from './scripted-boat.js';

const hz = 4;
const id = 'cooling:port';

type Crew = { readonly idleAfterS: number; readonly stopAfterS: number };

/** A bag over the port intake; the crew acknowledges two seconds after each call. What they were asked, in order. */
const asked = (load: Load, { idleAfterS, stopAfterS }: Crew): readonly string[] => {
  const plant = new Plant({ seed: 9 });
  for (const engine of ['port', 'starboard']) plant.setThrottle(engine, loads[load]);
  plant.step(1500);
  let state = startGuard(asMonotonicMs(0));
  const asks: string[] = [];
  let calledAtS: number | undefined;
  let alarmAtS = Number.POSITIVE_INFINITY;
  for (let i = -90 * hz; i < 150 * hz; i++) {
    const s = i / hz;
    if (i === 0) plant.bagIntake('port');
    const stopped = s >= alarmAtS + stopAfterS;
    if (stopped) plant.setThrottle('port', 0);
    else if (s >= alarmAtS + idleAfterS) plant.setThrottle('port', loads.idle);
    plant.step(1 / hz);
    const nowMs = asMonotonicMs(state.atMs + 1000 / hz);
    const readings = kit.probes.map((probe, n): Reading => {
      const temperatureC = plant.elementTemperatureC(probe) + 0.05 * Math.sin(nowMs * 0.7 + n);
      const result = { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 } as const;
      return { probe: probe.id, readAtMs: nowMs, result };
    });
    const acknowledges = calledAtS !== undefined && s >= calledAtS + 2;
    const commands: readonly AlertCommand[] = acknowledges ? [{ do: 'acknowledge', alertId: id }] : [];
    const running = { port: !stopped, starboard: true };
    const passed = guard(state, { nowMs, readings, running, board: 'connected', commands }, settings);
    state = passed.state;
    const alert = passed.alerts.find((one) => one.id === id);
    if (acknowledges || alert?.state !== 'unacknowledged') calledAtS = undefined;
    else if (calledAtS === undefined) {
      calledAtS = s;
      alarmAtS = Math.min(alarmAtS, s);
      asks.push(`${alert.priority}: ${alert.instruction}`);
    }
  }
  return asks;
};

describe('one bag over the intake', () => {
  it('at idle asks once, and at once for what helps: an idling engine cannot be eased back', () => {
    const never = Number.POSITIVE_INFINITY;
    expect(asked('idle', { idleAfterS: never, stopAfterS: 25 })).toEqual(['warning: Idle, then stop']);
  });

  it.each(['cruise', 'wide open'] as const)(
    'at %s asks for one acknowledgement of a crew that idles in 8 s and stops in 30',
    (load) => {
      expect(asked(load, { idleAfterS: 8, stopAfterS: 30 })).toEqual(['alarm: Idle, then stop']);
    },
  );

  it.each(['cruise', 'wide open'] as const)(
    'at %s calls a crew that only acknowledged once more, at 100 C, and then for another action',
    (load) => {
      const never = Number.POSITIVE_INFINITY;
      expect(asked(load, { idleAfterS: never, stopAfterS: never })).toEqual([
        'alarm: Idle, then stop',
        'alarm: Stop now',
      ]);
    },
  );
});
