import type { Random } from '../../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../../node/bench/plant/twins.js';
import type { World } from '../../../../node/bench/world.js';
import type { ProbeSettings } from '../../../../node/guard/settings.js';
import { valued } from '../../../../node/reading/quantity.js';
import type { Reading } from '../../../../node/reading/reading.js';
import { type DrawnBoat, passS } from '../drawn-boat.js';

/** 200 kPa over 0.8 of 1024 counts; eight of them averaged, with about a count of noise (see the plan's converter). */
const stepKpa = 200 / 819.2;
const meanNoiseCounts = 0.35;
/** What the vanes leave after the snubber, part of the pressure; invented. */
const pulse = 0.03;

type Flaws = { readonly zeroKpa: number; readonly span: number };

/** The pressure probes of one drawn boat with the errors of cheap parts: 1 % zero, 1 % span. */
export class Gauges {
  readonly pressureProbes: readonly ProbeSettings[] = twins.map((engine) => pumpProbe(engine));
  private readonly flaws: Readonly<Record<TwinId, Flaws>>;
  private readonly random: Random;

  constructor(random: Random) {
    this.random = random;
    const draw = (): Flaws => ({
      zeroKpa: random.between(-2, 2),
      span: random.between(0.99, 1.01),
    });
    this.flaws = { port: draw(), starboard: draw() };
  }

  read(world: Pick<World, 'pumpPressureKpa'>, atMs: Reading['readAtMs']): readonly Reading[] {
    const { random } = this;
    return twins.flatMap((engine): Reading[] => {
      const { zeroKpa, span } = this.flaws[engine];
      const trueKpa = world.pumpPressureKpa(engine);
      const noise = meanNoiseCounts * stepKpa * random.normal() + pulse * trueKpa * random.normal();
      const kpa = zeroKpa + span * trueKpa + noise;
      return [
        {
          probe: `${engine}-pump`,
          readAtMs: atMs,
          result: { kind: 'measured', ...valued('pressure', kpa, 1) },
        },
      ];
    });
  }
}

const pumpProbe = (engine: TwinId): ProbeSettings => ({
  id: `${engine}-pump`,
  name: `${engine} pump`,
  engine,
  place: 'raw-water-pressure',
  mounting: 'free',
});

/** One pass of a boat: its temperatures, and its gauges beside them. */
export const passWith = (boat: DrawnBoat, gauges: Gauges) => {
  const input = boat.pass();
  return { input, gauges: gauges.read(boat.plant, input.nowMs), dtS: passS };
};
