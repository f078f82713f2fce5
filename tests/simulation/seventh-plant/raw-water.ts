import type { Ailments } from '../../../node/bench/plant/ailments.js';
import { lagged } from './heat.js';
import type { RawWaterTraits } from './traits.js';

/** The vanes of a flexible impeller leak past their tips under suction: flow lost at the limit of its vacuum. */
const vaneLeak = 0.12;
/** What an unprimed impeller brings of its water, wet by what stayed in the pump. */
const unprimedPart = 0.15;
/** A collapsed suction hose springs back in about this time, and vacuum builds and fades in this, s. */
const springBackS = 2;
const vacuumS = 0.4;
const gaugeS = 0.25;
/** Part of the primed state that an hour of standing loses. */
const primeLostPerS = 1 / (6 * 3600);
/** Smallest volume behind the pump that can empty, L: keeps the arithmetic finite where all water stays. */
const leastEmptyingLitres = 0.05;

/** Sea chest, strainer, flexible-impeller pump, and the water between pump and elbow. */
export class RawWater {
  /** Water through the pump, of what a new pump brings at this speed with nothing in its way. */
  flowPart = 0;
  /** What reaches the elbow. */
  deliveredLitresPerS = 0;
  pressureKpa = 0;
  /** How far the exchanger is filled above the water that always stays, 0 to 1. */
  filled = 0;
  private reserveLitres: number;
  private vacuumKpa = 0;
  private unprimed: number;
  private readonly emptyingLitres: number;
  private readonly traits: RawWaterTraits;

  /** `standing`: 1 has stood for days, 0 ran a moment ago. */
  constructor(traits: RawWaterTraits, standing: number) {
    this.traits = traits;
    this.reserveLitres = traits.hoseLitres;
    this.unprimed = standing;
    this.filled = 1 - standing;
    this.emptyingLitres = Math.max(leastEmptyingLitres, traits.downstreamLitres * (1 - traits.keptPart));
  }

  /** `air`: part of what comes up to the intake that is air, from waves. `debris`: open part of a clean strainer today. */
  step(
    dtS: number,
    speedPart: number,
    ailments: Ailments,
    vanesPart: number,
    debris: number,
    air: number,
  ): void {
    if (speedPart < 0.02) {
      this.stand(dtS);
      return;
    }
    const { traits } = this;
    const { ratedLitresPerS, suctionKpa, strainerKpa, vacuumLimitKpa } = traits;
    const unhindered = ratedLitresPerS * speedPart * (1 - traits.beltSlip * speedPart);
    const sucking = this.vacuumKpa / vacuumLimitKpa;
    const displaced = unhindered * vanesPart * ailments.impeller * (1 - vaneLeak * sucking);
    const leak = Math.min(0.9 * displaced, traits.airLeak * ratedLitresPerS * Math.sqrt(sucking));
    const open = Math.max(1e-4, debris * ailments.strainer);
    const lossKpa = suctionKpa + strainerKpa / (open * open);
    let most = ratedLitresPerS * Math.sqrt(vacuumLimitKpa / lossKpa);
    if (ailments.intake < 1) most = Math.min(most, ailments.intake * unhindered);
    const wanted = (displaced - leak) * (1 - air);
    let water = Math.min(wanted, most);
    if (this.unprimed > 0) {
      if (ailments.intake > 0)
        this.unprimed -= (dtS * speedPart * 4) / Math.max(dtS, traits.primeS * (1 + strainerKpa / 20));
      water *= unprimedPart;
    }
    const starved = wanted - water > 0.02 * wanted && this.unprimed <= 0;
    if (starved) {
      const given = Math.min(wanted - water, this.reserveLitres / dtS);
      this.reserveLitres -= given * dtS;
      water += given;
    } else this.reserveLitres = lagged(this.reserveLitres, traits.hoseLitres, dtS, springBackS);
    const part = water / ratedLitresPerS;
    const dry = starved && this.reserveLitres < 1e-6;
    this.vacuumKpa = lagged(this.vacuumKpa, dry ? vacuumLimitKpa : lossKpa * part * part, dtS, vacuumS);
    if (this.vacuumKpa > vacuumLimitKpa) this.vacuumKpa = vacuumLimitKpa;
    this.flowPart = water / unhindered;
    this.deliver(dtS, water, leak + (displaced - leak) * air);
    const gaugeKpa =
      (traits.dischargeKpa * part * part + traits.headKpa * Math.min(1, 4 * part)) * this.filled;
    this.pressureKpa = lagged(this.pressureKpa, gaugeKpa, dtS, gaugeS);
  }

  /** Water and air push on what is in front of them; an exchanger with air in its top fills before it runs over. */
  private deliver(dtS: number, water: number, air: number): void {
    const step = dtS / this.emptyingLitres;
    this.filled = Math.min(1, (this.filled + step * water) / (1 + step * (water + air)));
    this.deliveredLitresPerS = (water + air) * this.filled;
  }

  private stand(dtS: number): void {
    this.flowPart = 0;
    this.deliveredLitresPerS = 0;
    this.pressureKpa = lagged(this.pressureKpa, 0, dtS, gaugeS);
    this.vacuumKpa = lagged(this.vacuumKpa, 0, dtS, springBackS);
    this.reserveLitres = lagged(this.reserveLitres, this.traits.hoseLitres, dtS, springBackS);
    this.unprimed = Math.max(0, Math.min(1, this.unprimed + dtS * primeLostPerS));
    if (this.traits.keptPart < 1) this.filled = lagged(this.filled, 0, dtS, this.traits.drainS);
  }
}
