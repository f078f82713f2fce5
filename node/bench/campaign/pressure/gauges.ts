import type { ProbeSettings } from '../../../guard/settings.js';
import { valued } from '../../../reading/quantity.js';
import type { Reading } from '../../../reading/reading.js';
import type { Random } from '../../plant/random.js';
import { type TwinId, twins } from '../../plant/twins.js';
import type { World } from '../../world.js';
import { type DrawnBoat, passS } from '../drawn-boat.js';

/** 200 kPa over 0.8 of 1024 counts; eight of them averaged, with about a count of noise (see the plan's converter). */
const stepKpa = 200 / 819.2;
const meanNoiseCounts = 0.35;
/** What the vanes leave after the snubber, part of the pressure; invented. */
const pulse = 0.03;

type Flaws = { readonly zeroKpa: number; readonly span: number; readonly rpmSpan: number };

/** The pressure and speed probes of one drawn boat with the errors of cheap parts: 1 % zero, 1 % span, 2 % speed. */
export class Gauges {
  readonly pressureProbes: readonly ProbeSettings[] = twins.map((engine) =>
    probe(engine, 'pump', 'raw-water-pressure'),
  );
  readonly speedProbes: readonly ProbeSettings[] = twins.map((engine) =>
    probe(engine, 'speed', 'engine-speed'),
  );
  private readonly flaws: Readonly<Record<TwinId, Flaws>>;
  private readonly random: Random;

  constructor(random: Random) {
    this.random = random;
    const draw = (): Flaws => ({
      zeroKpa: random.between(-2, 2),
      span: random.between(0.99, 1.01),
      rpmSpan: random.between(0.98, 1.02),
    });
    this.flaws = { port: draw(), starboard: draw() };
  }

  read(world: Pick<World, 'pumpPressureKpa' | 'rpm'>, atMs: Reading['readAtMs']): readonly Reading[] {
    const { random } = this;
    return twins.flatMap((engine): Reading[] => {
      const { zeroKpa, span, rpmSpan } = this.flaws[engine];
      const trueKpa = world.pumpPressureKpa(engine);
      const noise = meanNoiseCounts * stepKpa * random.normal() + pulse * trueKpa * random.normal();
      const kpa = zeroKpa + span * trueKpa + noise;
      const rpm = world.rpm(engine) * rpmSpan + 8 * random.normal();
      return [
        {
          probe: `${engine}-pump`,
          readAtMs: atMs,
          result: { kind: 'measured', ...valued('pressure', kpa, 1) },
        },
        {
          probe: `${engine}-speed`,
          readAtMs: atMs,
          result: { kind: 'measured', ...valued('speed', rpm, 20) },
        },
      ];
    });
  }
}

const probe = (engine: TwinId, word: string, place: ProbeSettings['place']): ProbeSettings => ({
  id: `${engine}-${word}`,
  name: `${engine} ${word}`,
  engine,
  place,
  mounting: 'free',
});

/** One pass of a boat: its temperatures, and its gauges beside them. */
export const passWith = (boat: DrawnBoat, gauges: Gauges) => {
  const input = boat.pass();
  return { input, gauges: gauges.read(boat.plant, input.nowMs), dtS: passS };
};
