/** A probe in stirred water follows in about this time, in seconds; a small metal-sheathed probe (common practice, no source). */
const bathLagS = 3;
/** Out of the bath and within this of its usual place, it is there again. */
const backWithinC = 0.02;

/** Where the sensing element is: at its place aboard, or held in a bath. */
export class Element {
  #bath: (() => number) | undefined;
  /** Present temperature while it differs from that of the usual place. */
  #ownC: number | undefined;
  #temperatureC = 20;

  get temperatureC(): number {
    return this.#temperatureC;
  }

  get dipped(): boolean {
    return this.#bath !== undefined;
  }

  /**
   * The bath is asked for its temperature at every step, because boiling water follows the pressure. Settled, it is as
   * warm as the bath at once, so that a test need not wait for the lag.
   */
  dip(bathC: () => number, settled = false): void {
    this.#bath = bathC;
    this.#ownC = settled ? bathC() : this.#temperatureC;
  }

  undip(): void {
    this.#bath = undefined;
  }

  advance(dtS: number, placeC: number): void {
    if (this.#ownC === undefined) {
      this.#temperatureC = placeC;
      return;
    }
    const goalC = this.#bath?.() ?? placeC;
    this.#ownC += (goalC - this.#ownC) * (1 - Math.exp(-dtS / bathLagS));
    this.#temperatureC = this.#ownC;
    if (!this.#bath && Math.abs(this.#ownC - placeC) < backWithinC) this.#ownC = undefined;
  }
}
