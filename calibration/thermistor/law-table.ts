import type { ThermistorLaw } from './law-schema.js';
import { thermistorOhms, thermistorTemperatureC } from './laws.js';

const cells = 4096;
/** Span of the table; readings beyond it are converted by the law itself. */
const fromC = -50;
const toC = 200;

/**
 * A thermistor law as cubic cells, for histories of millions of readings. The cells are even in R / (R + R50), the share
 * of a divider, which spreads them over the temperatures and costs one division instead of a logarithm. Within 1e-6 C.
 */
export class ThermistorTable {
  readonly #convert: (ohms: number) => number;
  readonly #middleOhms: number;
  readonly #firstShare: number;
  readonly #cellsPerShare: number;
  readonly #coefficients = new Float64Array(cells * 4);

  /** `convert` is what the table approximates, where that is more than the law: a law with its corrections. */
  constructor(law: ThermistorLaw, convert = (ohms: number) => thermistorTemperatureC(law, ohms)) {
    this.#convert = convert;
    this.#middleOhms = thermistorOhms(law, 50);
    const share = (ohms: number): number => ohms / (ohms + this.#middleOhms);
    this.#firstShare = share(thermistorOhms(law, toC));
    this.#cellsPerShare = cells / (share(thermistorOhms(law, fromC)) - this.#firstShare);
    const at = (border: number): number => {
      const s = this.#firstShare + border / this.#cellsPerShare;
      return convert((this.#middleOhms * s) / (1 - s));
    };
    for (let cell = 0; cell < cells; cell++) {
      // Four points through each cell: an interpolating cubic needs no slopes of the law.
      const y = [at(cell), at(cell + 1 / 3), at(cell + 2 / 3), at(cell + 1)] as const;
      const c3 = 4.5 * (y[3] - 3 * y[2] + 3 * y[1] - y[0]);
      const c2 = 4.5 * (y[0] - 2 * y[1] + y[2]) - c3;
      const c1 = y[3] - y[0] - c2 - c3;
      this.#coefficients.set([y[0], c1, c2, c3], cell * 4);
    }
  }

  /** Temperature of a resistance. Throws as `thermistorTemperatureC`. */
  temperatureC(ohms: number): number {
    const position = (ohms / (ohms + this.#middleOhms) - this.#firstShare) * this.#cellsPerShare;
    const cell = Math.floor(position);
    if (!(cell >= 0 && cell < cells)) return this.#convert(ohms);
    const x = position - cell;
    const at = cell * 4;
    const c = this.#coefficients;
    return (
      (c[at] as number) +
      x * ((c[at + 1] as number) + x * ((c[at + 2] as number) + x * (c[at + 3] as number)))
    );
  }
  /** `temperatureC` over an array; values without an answer become NaN and are counted. */
  mapTemperaturesC(ohms: Float64Array, into: Float64Array): { readonly refused: number } {
    const middleOhms = this.#middleOhms;
    const firstShare = this.#firstShare;
    const cellsPerShare = this.#cellsPerShare;
    const c = this.#coefficients;
    let refused = 0;
    for (let i = 0; i < ohms.length; i++) {
      const r = ohms[i] as number;
      const position = (r / (r + middleOhms) - firstShare) * cellsPerShare;
      const cell = position | 0;
      const x = position - cell;
      const at = cell * 4;
      const t =
        (c[at] as number) +
        x * ((c[at + 1] as number) + x * ((c[at + 2] as number) + x * (c[at + 3] as number)));
      into[i] = t;
      if (!(x >= 0 && x < 1 && t > -300) && !this.#mapRare(r, into, i)) refused++;
    }
    return { refused };
  }

  #mapRare(ohms: number, into: Float64Array, i: number): boolean {
    try {
      into[i] = this.#convert(ohms);
      return true;
    } catch {
      into[i] = Number.NaN;
      return false;
    }
  }
}
