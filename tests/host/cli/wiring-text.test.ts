import { stripVTControlCharacters } from 'node:util';
import { expect, test } from 'vitest';
import { faultCount, wiringText } from '../../../host/cli/wiring-text.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import type { WiringLook } from '../../../node/index.js';

const look: WiringLook = {
  board: { state: 'connected', detail: 'StandardFirmata.ino 2.5 at /dev/ttyACM0.' },
  engines: [
    { id: 'port', name: 'Port' },
    { id: 'starboard', name: 'Starboard' },
  ],
  running: { port: true },
  referencePin: 'well',
  probes: [
    {
      probe: 'port-elbow',
      name: 'Port wet elbow',
      input: 'A0',
      counts: 813.04,
      fullScale: 1024,
      volts: 3.9699,
      ohms: 8474.4,
      temperatureC: 28.749,
      uncertaintyC: 0.68,
      noiseC: 0.0551,
      readingsPerS: 9.96,
      counted: { good: 640, doubtful: 3, missing: 12 },
      quality: 'good',
      faults: [],
    },
    {
      probe: 'port-exhaust',
      name: 'Port exhaust gas',
      input: '0x67',
      readingsPerS: 0,
      counted: { good: 0, doubtful: 0, missing: 32 },
      quality: 'no-answer',
      faults: [{ fault: 'no-answer', message: 'The chip does not answer.', check: 'Check its four wires.' }],
    },
  ],
  faults: [],
};

test('the chain is in columns from pin to degree, and each fault under it with what to check', () => {
  expect(wiringText(look, { colour: false, degrees: degreesIn('celsius'), width: 130 })).toBe(
    `board    connected: StandardFirmata.ino 2.5 at /dev/ttyACM0.
running  Port runs, Starboard not known; reference pin good

probe         input      counts  volts   ohm  uV  cold jn      C  ± (k=1)  noise C  per s  doubtful  missing  quality
port-elbow    A0     813.0/1024  3.970  8474               28.75     0.68    0.055   10.0         3       12  good
port-exhaust  0x67                                                                    0.0         0       32  no-answer

FAULT port-exhaust: no-answer
  The chip does not answer.
  What to do: Check its four wires.`,
  );
});

test('without a fault it says so, and colour is never the only sign', () => {
  const well = { ...look, probes: look.probes.slice(0, 1) };
  expect(wiringText(well, { colour: false, degrees: degreesIn('celsius'), width: 130 })).toMatch(
    /No fault found\.$/,
  );
  expect(
    stripVTControlCharacters(wiringText(look, { colour: true, degrees: degreesIn('celsius'), width: 130 })),
  ).toBe(wiringText(look, { colour: false, degrees: degreesIn('celsius'), width: 130 }));
  expect([faultCount(well), faultCount(look)]).toEqual([0, 1]);
});

test('without a board there is one fault, and no probe is blamed for it', () => {
  const away = {
    fault: 'board-away',
    message: 'The board is disconnected.',
    check: 'Look at the board line first.',
  };
  const none: WiringLook = {
    ...look,
    board: { state: 'connecting', detail: 'No board is plugged in.' },
    probes: look.probes.map((probe) => ({ ...probe, quality: 'board-away', faults: [away] })),
    faults: [{ fault: 'no-port', message: 'No board is plugged in.', check: 'Check the USB cable.' }],
  };
  expect(faultCount(none)).toBe(1);
  const said = wiringText(none, { colour: false, degrees: degreesIn('celsius'), width: 130 });
  expect(said.match(/FAULT .*/g)).toEqual(['FAULT board: no-port']);
  expect(said).toMatch(/ {2}What to do: Check the USB cable\.$/);
});

test.each([80, 100])('at %i columns no line is longer, and each probe keeps its quality', (width) => {
  const text = wiringText(look, { colour: false, degrees: degreesIn('celsius'), width });
  const lines = text.split('\n');
  expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width);
  expect(text).toMatch(/port-elbow .* 28\.75 .*\n/);
  expect(text).toMatch(/port-exhaust .* no-answer\n/);
});
