import type { ProbeHistory, RecordedHistory } from '../../../host/replay/history.js';
import { enginesOfKit } from '../../../node/bench/plant/engines-of-kit.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import type { Kit } from '../../../node/index.js';

/** Standard deviation of each kind of input, kelvin: about what the bench's converters have. */
const noiseK = (place: string): number => (place === 'dry-exhaust' ? 0.4 : 0.08);

/** Once a second what every probe of a kit would read, on the bench's engines for it, while `act` works the levers. */
export function recordBoat(
  kit: Kit,
  startAt: number,
  forS: number,
  act: (plant: Plant<string>, s: number) => void,
  seed = 5,
): RecordedHistory {
  const plant = new Plant<string>({ seed, engines: enginesOfKit(kit.engines), seaC: 16, outsideC: 16 });
  const random = makeRandom(seed);
  const at = Float64Array.from({ length: forS }, (_, s) => startAt + s * 1000);
  const columns = kit.probes.map(() => new Float64Array(forS));
  const runSpans = Object.fromEntries(
    kit.engines.map(({ id }) => [id, [] as { startAt: number; endAt: number }[]]),
  );
  for (let s = 0; s < forS; s++) {
    act(plant, s);
    plant.step(1);
    kit.probes.forEach((probe, i) => {
      const column = columns[i] as Float64Array;
      column[s] = plant.elementTemperatureC(probe) + noiseK(probe.place) * random.normal();
    });
    for (const [id, spans] of Object.entries(runSpans)) {
      if (!plant.isRunning(id)) continue;
      const last = spans.at(-1);
      if (last && last.endAt === startAt + (s - 1) * 1000) last.endAt = startAt + s * 1000;
      else spans.push({ startAt: startAt + s * 1000, endAt: startAt + s * 1000 });
    }
  }
  return {
    probes: kit.probes.map(
      ({ id }, i): ProbeHistory => ({
        probe: id,
        at,
        temperatureC: columns[i] ?? new Float64Array(),
        quality: 'all good',
      }),
    ),
    runSpans,
  };
}
