/** The sensing element of one probe: a first-order lag behind what surrounds it. */
export class ProbeElement {
  temperatureC: number;

  constructor(temperatureC: number) {
    this.temperatureC = temperatureC;
  }

  follow(surroundingsC: number, tauS: number, dtS: number): void {
    this.temperatureC += (surroundingsC - this.temperatureC) * Math.min(1, dtS / tauS);
  }
}
