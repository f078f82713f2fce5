import { expect, test } from 'vitest';
import { buzzerFaults } from '../../../node/wiring/buzzer-faults.js';
import { kitWith, ntcOn } from '../kit-with.js';

const probes = [{ id: 'elbow', channel: ntcOn('A0') }];
const kit = kitWith(probes, { buzzerCurrent: { pin: 'A2', shuntOhms: 10, ratedMilliamps: 25 } });
const faultsAt = (milliamps: number | undefined) => buzzerFaults(kit, milliamps).map(({ fault }) => fault);

test('while nothing beats the circuit sounds, so its current must be there; at the end of the scale the shunt is off', () => {
  expect(faultsAt(20)).toEqual([]);
  expect(faultsAt(5.1)).toEqual([]);
  expect(faultsAt(4.9)).toEqual(['buzzer-no-current']);
  // 5 V over 10 ohm is 500 mA.
  expect(faultsAt(480)).toEqual(['buzzer-shunt-open']);
  expect(faultsAt(undefined)).toEqual([]);
  expect(buzzerFaults(kitWith(probes), 0)).toEqual([]);
});

test('a pin that a probe has is refused, and the message names both', () => {
  expect(() => kitWith(probes, { buzzerCurrent: { pin: 'A0', shuntOhms: 10, ratedMilliamps: 25 } })).toThrow(
    /pin A0 is already taken by/,
  );
});
