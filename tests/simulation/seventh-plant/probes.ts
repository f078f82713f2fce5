import type { Elbow } from './elbow.js';
import { lagged } from './heat.js';
import type { Mover } from './mover.js';
import type { ProbeTraits } from './traits.js';

/** A ring that hangs in the engine room: slower in air, and warmed a little by the hot metal that it sees. */
const hangingSlower = 6;
const hangingSees = 0.03;
/** A well in dry gas answers this much more slowly than in spray. */
const wellDrySlower = 5;
/** A gas probe follows the gas film, which goes as the square root of the flow across a rod; it never stops entirely. */
const stillestPart = 0.015;

/** What the elements of one engine's probes feel, mounting and lag included. */
export class Probes {
  ringC: number;
  wellC: number;
  gasC: number;
  private readonly traits: ProbeTraits;
  private readonly gasS: number;

  /** `season`: 0 at its beginning to 1 at its end. */
  constructor(traits: ProbeTraits, startC: number, season: number) {
    this.traits = traits;
    this.gasS = traits.gasS * (1 + traits.sootPerSeason * season);
    this.ringC = startC;
    this.wellC = startC;
    this.gasC = startC;
  }

  step(dtS: number, elbow: Elbow, mover: Mover, roomC: number, fallen: boolean): void {
    const { ringS, ringContact, wellS, wellStem, gasStem } = this.traits;
    const touch = fallen ? hangingSees : ringContact;
    const ringTargetC = roomC + touch * (elbow.skinC - roomC);
    this.ringC = lagged(this.ringC, ringTargetC, dtS, fallen ? ringS * hangingSlower : ringS);
    const streamC = elbow.met * elbow.mixedC + (1 - elbow.met) * elbow.streakC;
    const slower = mover.running ? 1 + (1 - elbow.met) * (wellDrySlower - 1) : wellDrySlower;
    const wellTargetC = streamC + wellStem * (elbow.skinC - streamC);
    this.wellC = lagged(this.wellC, wellTargetC, dtS, wellS * slower);
    const part = Math.max(stillestPart, mover.gasKgPerS / mover.ratedGasKgPerS);
    const gasTargetC = mover.gasC + gasStem * (elbow.dryC - mover.gasC);
    this.gasC = lagged(this.gasC, gasTargetC, dtS, this.gasS / Math.sqrt(part));
  }
}
