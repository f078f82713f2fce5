import { channelKinds } from '../channels/table.js';

/** One correct example line for each place in the file. The most specific comes first. */
const examples: readonly (readonly [where: RegExp, example: string])[] = [
  [/^kit$/, 'kit: 1'],
  [/^boat/, 'boat: { name: An Invented Boat }'],
  [/^node$/, 'node: engine-room'],
  [/^board\.sampleHz/, 'sampleHz: 10'],
  [/^board/, 'board: { connection: auto }        # or /dev/ttyACM0, COM3, tcp://192.168.1.20:3030, bench'],
  [/^outputs/, 'outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 7 }'],
  [/^engines.*runningInput/, 'runningInput: { pin: 4, activeLow: true }'],
  [/^engines/, 'engines: [{ id: main, name: Main engine, kind: propulsion, ratedKw: 110 }]'],
  [/^alike/, 'alike: [[port, starboard]]'],
  [
    /^(referencePin|canary)/,
    'referencePin: { pin: A3, shareOfSupply: 0.5 }        # the middle of two equal resistors',
  ],
  [/^buzzerCurrent/, 'buzzerCurrent: { pin: A2, shuntOhms: 10, ratedMilliamps: 25 }'],
  [/^probes\.\d+\.limits/, 'limits: { alarm: { raiseAtC: 93, clearAtC: 85, holdS: 1 } }'],
  [/^probes\.\d+\.id/, 'id: port-elbow'],
  [/^probes\.\d+\.place/, 'place: wet-elbow'],
  [/^probes\.\d+\.engine/, 'engine: port'],
  [/^probes\.\d+\.channel\.thermistor/, 'thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 }'],
  [/^probes\.\d+\.channel\.address/, 'address: 0x67'],
  [/^probes\.\d+\.channel\.pin/, 'pin: A0'],
  [/^probes\.\d+\.channel/, channelKinds['ntc-divider'].example],
  [/^probes/, '- { id: port-elbow, name: Port wet elbow, engine: port, place: wet-elbow, channel: { … } }'],
  [/^link/, 'link: { over: tcp, listen: "127.0.0.1:8472" }'],
];

export const kitExampleFor = (where: string): string | undefined =>
  examples.find(([pattern]) => pattern.test(where))?.[1];
