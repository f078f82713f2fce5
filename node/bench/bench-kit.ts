/** The kit of the invented boat behind the bench, as the file its owner would have written. */
export const benchKitYaml = `# The boat on the bench. The boat and its engines are invented; use "elbowroom plan" for a file of your own.
kit: 1
boat: { name: Marsh Harrier, invented: true }
node: engine-room
board: { connection: bench, sampleHz: 10 }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
engines:
  - { id: port, name: Port, kind: propulsion, ratedKw: 235, runningInput: { pin: 2 } }
  - { id: starboard, name: Starboard, kind: propulsion, ratedKw: 235, runningInput: { pin: 3 } }
alike: [port, starboard]
referencePin: { pin: A3, shareOfSupply: 0.5 }
probes:
  - id: port-elbow
    name: Port wet elbow
    engine: port
    place: wet-elbow
    mounting: well
    channel:
      kind: ntc-divider
      pin: A0
      resistorOhms: 2200
      thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 }
    limits: &elbow-limits
      warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 }
      alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 }
  - id: starboard-elbow
    name: Starboard wet elbow
    engine: starboard
    place: wet-elbow
    mounting: well
    channel: { kind: ntc-divider, pin: A1, resistorOhms: 2200, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }
    limits: *elbow-limits
  - id: sea-water
    name: Sea water
    engine: all
    place: sea-water
    mounting: well
    channel: { kind: ntc-divider, pin: A2, resistorOhms: 10000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }
  - id: engine-room
    name: Engine-room air
    engine: all
    place: engine-room
    mounting: free
    channel: { kind: ad8495-ads1115, address: 0x48, input: AIN0 }
    limits:
      warning: { raiseAtC: 65, clearAtC: 60, holdS: 10 }
  - id: port-exhaust
    name: Port exhaust gas
    engine: port
    place: dry-exhaust
    mounting: free
    channel: { kind: mcp960x, address: 0x67 }
    limits:
      warning: { raiseAtC: 480, clearAtC: 460, holdS: 10 }
  - id: starboard-exhaust
    name: Starboard exhaust gas
    engine: starboard
    place: dry-exhaust
    mounting: free
    channel: { kind: mcp960x, address: 0x60 }
    limits:
      warning: { raiseAtC: 480, clearAtC: 460, holdS: 10 }
`;

const ntc = 'thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 }';
const elbowLimits =
  'limits: { warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 }, alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 } }';
const gasLimits = 'limits: { warning: { raiseAtC: 480, clearAtC: 460, holdS: 10 } }';

/** One engine, with a ring on its elbow, as most boats have. */
const singleKitYaml = `# A boat on the bench with one engine. It is invented; use "elbowroom plan" for a file of your own.
kit: 1
boat: { name: Reed Warbler, invented: true }
node: engine-room
board: { connection: bench, sampleHz: 10 }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
engines:
  - { id: main, name: Main engine, shortName: Main, kind: propulsion, ratedKw: 40, runningInput: { pin: 2 } }
referencePin: { pin: A3, shareOfSupply: 0.5 }
probes:
  - id: main-elbow
    name: Wet elbow
    place: wet-elbow
    mounting: strap-on
    channel: { kind: ntc-divider, pin: A0, resistorOhms: 2200, ${ntc} }
    ${elbowLimits}
  - id: main-exhaust
    name: Exhaust gas
    place: dry-exhaust
    mounting: free
    channel: { kind: mcp960x, address: 0x67 }
    ${gasLimits}
  - id: sea-water
    name: Sea water
    place: sea-water
    mounting: well
    channel: { kind: ntc-divider, pin: A1, resistorOhms: 10000, ${ntc} }
`;

const generatorProbes = `
  - id: generator-elbow
    name: Generator wet elbow
    engine: generator
    place: wet-elbow
    mounting: strap-on
    channel: { kind: ntc-divider-ads1115, address: 0x48, input: AIN1, supplyInput: AIN3, resistorOhms: 2200, ${ntc} }
    ${elbowLimits}
  - id: generator-exhaust
    name: Generator exhaust gas
    engine: generator
    place: dry-exhaust
    mounting: free
    channel: { kind: mcp960x, address: 0x66 }
    ${gasLimits}
`;

/** The twin of the bench with a generator set below deck, on the same board. */
const twinAndGeneratorKitYaml = `${benchKitYaml
  .replace('Marsh Harrier', 'Grey Heron')
  .replace(
    'alike:',
    '  - { id: generator, name: Generator, kind: generator, ratedKw: 16, runningInput: { pin: 4 } }\nalike:',
  )
  .trimEnd()}${generatorProbes}`;

/** The boats that `elbowroom bench --boat` knows; the first is the one without the option. */
export const benchBoats = {
  twin: benchKitYaml,
  single: singleKitYaml,
  'twin-and-generator': twinAndGeneratorKitYaml,
} as const;
export type BenchBoatName = keyof typeof benchBoats;
