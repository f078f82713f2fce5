import type { ProbeHistory, RecordedHistory } from '../../../host/replay/history.js';
import type { Plant } from '../../../node/bench/plant/plant.js';
import { twins } from '../../../node/bench/plant/twins.js';

export const kitYaml = `kit: 1
boat: { name: Invented for tests, invented: true }
board: { connection: bench }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 7 }
engines:
  port: { runningInput: { pin: 4 } }
  starboard: { runningInput: { pin: 5 } }
probes:
  - { id: port-elbow, name: Port elbow, engine: port, place: wet-elbow, mounting: well, channel: { kind: ntc-divider, pin: A0, resistorOhms: 2200, thermistor: { law: beta, r25Ohms: 10000, betaK: 3950 } } }
  - { id: starboard-elbow, name: Starboard elbow, engine: starboard, place: wet-elbow, mounting: well, channel: { kind: ntc-divider, pin: A1, resistorOhms: 2200, thermistor: { law: beta, r25Ohms: 10000, betaK: 3950 } } }
  - { id: port-exhaust, name: Port exhaust, engine: port, place: dry-exhaust, mounting: free, channel: { kind: mcp960x, address: 0x60 } }
  - { id: starboard-exhaust, name: Starboard exhaust, engine: starboard, place: dry-exhaust, mounting: free, channel: { kind: mcp960x, address: 0x61 } }
  - { id: sea, name: Sea, engine: both, place: sea-water, mounting: free, channel: { kind: ntc-divider, pin: A2, resistorOhms: 10000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3950 } } }
`;

const spots = [
  { probe: 'port-elbow', engine: 'port', place: 'wet-elbow', mounting: 'well' },
  { probe: 'starboard-elbow', engine: 'starboard', place: 'wet-elbow', mounting: 'well' },
  { probe: 'port-exhaust', engine: 'port', place: 'dry-exhaust', mounting: 'free' },
  { probe: 'starboard-exhaust', engine: 'starboard', place: 'dry-exhaust', mounting: 'free' },
  { probe: 'sea', engine: 'all', place: 'sea-water', mounting: 'free' },
] as const;

/** Once a second what the plant's probes read while `act` works its levers; wall time from `startAt`. */
export function recordPlant(
  plant: Plant,
  startAt: number,
  forS: number,
  act: (plant: Plant, s: number) => void,
): RecordedHistory {
  const columns = spots.map(() => ({ at: new Float64Array(forS), temperatureC: new Float64Array(forS) }));
  const runSpans: Record<(typeof twins)[number], { startAt: number; endAt: number }[]> = {
    port: [],
    starboard: [],
  };
  const was = { port: false, starboard: false };
  for (let s = 0; s < forS; s++) {
    act(plant, s);
    plant.step(1);
    const at = startAt + s * 1000;
    spots.forEach((spot, i) => {
      const column = columns[i] as (typeof columns)[number];
      column.at[s] = at;
      column.temperatureC[s] = Math.round(plant.elementTemperatureC(spot) * 100) / 100;
    });
    for (const engine of twins) {
      const runs = plant.isRunning(engine);
      if (runs && !was[engine]) runSpans[engine].push({ startAt: at, endAt: at });
      const span = runSpans[engine].at(-1);
      if (runs && span) span.endAt = at;
      was[engine] = runs;
    }
  }
  return {
    probes: spots.map(
      ({ probe }, i): ProbeHistory => ({
        probe,
        at: columns[i]?.at ?? new Float64Array(),
        temperatureC: columns[i]?.temperatureC ?? new Float64Array(),
        quality: 'all good',
      }),
    ),
    runSpans,
  };
}
