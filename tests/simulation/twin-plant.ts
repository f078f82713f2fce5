import type { Ailments } from '../../node/bench/plant/ailments.js';
import type { TwinId } from '../../node/bench/plant/twins.js';
import type { Spot } from '../../node/bench/world.js';
import type { CampaignPlant } from './campaign/campaign-plant.js';

/** Longest step of the physics, s. */
const finestS = 0.2;

type OneEngine = {
  readonly ailments: Ailments;
  readonly hoseC: number;
  readonly flowPart: number;
  readonly throttle: number;
  readonly probes: { readonly wellC: number; readonly ringC: number; readonly gasC: number };
  readonly raw: { readonly pressureKpa: number };
};

/** What the campaign asks of a boat with two engines, whatever the physics in them. */
export abstract class TwinPlant<One extends OneEngine> implements CampaignPlant {
  roughness = 0;
  seaC: number;
  abstract readonly engines: Readonly<Record<TwinId, One>>;

  constructor(seaC: number) {
    this.seaC = seaC;
  }

  /** What the sea-water probe shows, and the air of the engine room, C. */
  protected abstract readonly seaReadsC: number;
  protected abstract readonly roomC: number;
  protected abstract advance(dtS: number): void;

  abstract rpm(engine: string): number;
  abstract isRunning(engine: string): boolean;
  abstract setThrottle(engine: string, value: number): void;

  step(dtS: number): void {
    const parts = Math.max(1, Math.ceil(dtS / finestS - 1e-9));
    for (let part = 0; part < parts; part++) this.advance(dtS / parts);
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.seaReadsC;
    if (place !== 'wet-elbow' && place !== 'dry-exhaust') return this.roomC;
    const { probes } = this.of(engine);
    if (place === 'dry-exhaust') return probes.gasC;
    return mounting === 'well' ? probes.wellC : probes.ringC;
  }

  pumpPressureKpa(engine: string): number {
    return this.of(engine).raw.pressureKpa;
  }

  bagIntake(engine: string): void {
    this.of(engine).ailments.intake = 0;
  }

  clearIntake(engine: string): void {
    this.of(engine).ailments.intake = 1;
  }

  wearImpeller(engine: string, flowLeft: number): void {
    this.of(engine).ailments.impeller = flowLeft;
  }

  protected of(engine: string): One {
    if (engine !== 'port' && engine !== 'starboard')
      throw new Error(`No engine ${engine} on this boat; name port or starboard.`);
    return this.engines[engine];
  }
}
