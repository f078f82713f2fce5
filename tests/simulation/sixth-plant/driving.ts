import type { Ailments } from '../../../node/bench/plant/ailments.js';
import type { Random } from '../../../node/bench/plant/random.js';
import { clamp, wander } from './relax.js';
import type { Seaway } from './sea-and-room.js';
import type { EngineTraits } from './traits.js';

/** The crew at one lever, and what the engine has to turn: propeller or generator, and the alternator. */
export class Driving {
  /** Where the lever is, 0 to 1; what the voyage asks for with the crew's habits on it. */
  lever = 0;
  /** What the batteries still take of the alternator's most, 0 to 1. */
  charge = 0;
  private asked = 0;
  private inGear = false;
  private manoeuvres = false;
  private sailPart = 1;
  private moveS = 0;
  private burst: 'ahead' | 'neutral' | 'astern' = 'ahead';
  private hungry = 0.5;
  private consumers = 0;
  private tremble = 0;
  private readonly traits: EngineTraits;
  private readonly random: Random;

  constructor(traits: EngineTraits, random: Random) {
    this.traits = traits;
    this.random = random;
    this.hungry = random.between(0.2, 1);
  }

  /** Governed speed at full load, of rated speed; a set runs at its one speed at any load. */
  get demand(): number {
    const { idleRpm, ratedRpm } = this.traits;
    if (this.traits.isGenerator) return 1 - 0.5 * this.traits.droop;
    const idle = idleRpm / ratedRpm - this.traits.droop;
    return idle + (1 - idle) * this.lever;
  }

  step(dtS: number, asked: number, speed: number): void {
    const { random } = this;
    if (asked !== this.asked) this.takeOrder(asked);
    this.moveS -= dtS;
    if (this.moveS < 0) this.nextMove();
    const tweak = asked >= 0.45 && asked < 0.97 ? 0.012 * this.tremble : 0;
    const aim = asked + tweak + (this.burst === 'astern' ? 0.12 : 0);
    // Levers are moved over two or three seconds; idling is where the stop screw is.
    this.lever = clamp(aim, this.lever - 0.4 * dtS, this.lever + 0.4 * dtS);
    this.tremble = wander(this.tremble, dtS, 240, random.normal());
    // A bank fills in half an hour to three hours, fridge and autopilot come and go.
    const runs = speed > 0.1;
    this.hungry = clamp(this.hungry + (runs ? -this.hungry / 4000 : 1 / 30_000) * dtS, 0.03, 1);
    if (random.chance(dtS / 400)) this.consumers = random.between(0, 0.3);
    this.charge = runs ? clamp(this.hungry + this.consumers, 0, 1) * clamp((speed - 0.12) / 0.35, 0, 1) : 0;
  }

  /** Torque at a speed, of rated torque. Propeller law: the square of the speed. */
  torqueOf(seaway: Seaway, { load }: Pick<Ailments, 'load'>): (speed: number) => number {
    const { traits: t } = this;
    const alternator = (this.charge * t.alternatorKw) / 0.55 / t.powerKw;
    if (this.traits.isGenerator) {
      const taken = (0.05 + 0.8 * this.asked) * this.sailPart * load;
      return (speed) => (speed > 0.9 ? taken / speed : 0) + alternator / Math.max(0.2, speed);
    }
    // Astern the blades are the wrong way round and the boat still goes ahead (common practice, no source).
    const grip =
      !this.inGear || this.burst === 'neutral' ? 0.02 : this.burst === 'astern' ? 1.4 : this.sailPart;
    const propeller = t.propellerMatch * t.hullLoad * load * grip * seaway.load;
    return (speed) => propeller * speed * speed + alternator / Math.max(0.2, speed);
  }

  /** What the crew makes of a new order: idling in or out of gear, manoeuvres in the harbour, sails that help. */
  private takeOrder(asked: number): void {
    const { random } = this;
    this.asked = asked;
    this.inGear = asked > 0.1 || random.chance(0.4);
    this.manoeuvres = asked > 0.1 && asked < 0.4 && random.chance(0.5);
    this.sailPart = asked >= 0.4 && asked < 0.95 && random.chance(0.25) ? random.between(0.4, 0.9) : 1;
    this.burst = 'ahead';
    this.moveS = random.between(5, 60);
  }

  private nextMove(): void {
    const { random } = this;
    if (this.traits.isGenerator) {
      // Kettle, charger, cooker: the load steps every few minutes.
      this.sailPart = random.between(0.75, 1.1);
      this.moveS = random.between(30, 600);
    } else if (this.manoeuvres && this.burst === 'ahead') {
      this.burst = random.chance(0.4) ? 'astern' : 'neutral';
      this.moveS = this.burst === 'astern' ? random.between(2, 6) : random.between(3, 15);
    } else {
      this.burst = 'ahead';
      this.moveS = random.between(10, 60);
    }
  }
}
