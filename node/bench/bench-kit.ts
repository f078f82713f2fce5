/** The kit of the invented boat behind the bench, as the file its owner would have written. */
export const benchKitYaml = `# The boat on the bench. She and her engines are invented; use "elbowroom plan" for a file of your own.
kit: 1
boat: { name: Marsh Harrier, invented: true }
node: engine-room
board: { connection: bench, sampleHz: 10 }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
engines:
  port: { ratedKw: 235, runningInput: { pin: 2 } }
  starboard: { ratedKw: 235, runningInput: { pin: 3 } }
canary: { pin: A3, shareOfSupply: 0.5 }
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
    engine: both
    place: sea-water
    mounting: well
    channel: { kind: ntc-divider, pin: A2, resistorOhms: 10000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }
  - id: engine-room
    name: Engine-room air
    engine: both
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
