import { finite, ThermometryError } from '../errors.js';
import { buildForwardCells, type ForwardCells, forwardCellC } from './forward-cells.js';
import { buildInverseCells, type InverseCells } from './inverse-cells.js';
import { ReferenceFunction } from './reference-function.js';
import type { ThermocoupleType } from './reference-functions.js';

/**
 * No thermocouple is this hot. Whole numbers (`| 0`) wrap beyond 32 bits; then the place in the cell is enormous, so is what
 * comes out, and the careful way sorts it out as it does NaN.
 */
const beyondAnyC = 3_000;

/**
 * A letter-type thermocouple in both directions, reference junction at 0 C, EMF in microvolts.
 *
 * `emfMicrovolts` is the ITS-90 reference function itself. `temperatureC` is its exact inverse: the residual
 * E(T(e)) - e stays at the rounding of the arithmetic. `quickTemperatureC` skips the last Newton step and stays within
 * 1e-7 C of it; use it where millions are converted.
 */
export class ThermocoupleCurve {
  readonly type: ThermocoupleType;
  readonly #reference: ReferenceFunction;
  readonly #cells: InverseCells;
  readonly #forward: ForwardCells;

  constructor(type: ThermocoupleType) {
    this.type = type;
    this.#reference = new ReferenceFunction(type);
    this.#cells = buildInverseCells(this.#reference);
    this.#forward = buildForwardCells(this.#reference);
  }

  get minC(): number {
    return this.#reference.minC;
  }
  get maxC(): number {
    return this.#reference.maxC;
  }
  /** Smallest EMF with one temperature only; for type B that excludes everything up to about 42 C. */
  get minMicrovolts(): number {
    return this.#reference.minInvertibleMicrovolts;
  }
  get maxMicrovolts(): number {
    return this.#reference.maxMicrovolts;
  }

  /** EMF against a 0 C reference junction. Throws outside the type's range, naming it. */
  emfMicrovolts(temperatureC: number): number {
    this.#checkTemperature(temperatureC);
    return this.#reference.emfMicrovolts(temperatureC);
  }

  /** `emfMicrovolts` from a table: the same to the rounding of the arithmetic, and faster. Throws as it does. */
  quickEmfMicrovolts(temperatureC: number): number {
    const emf = this.#tabledEmf(temperatureC);
    return Number.isNaN(emf) ? this.emfMicrovolts(temperatureC) : emf;
  }

  /** `quickEmfMicrovolts` over an array; NaN for what has none. */
  mapEmfMicrovolts(temperatureC: Float64Array, into: Float64Array): void {
    const { minC, maxC } = this;
    for (let i = 0; i < temperatureC.length; i++) {
      const t = temperatureC[i] as number;
      const emf = this.#tabledEmf(t);
      into[i] = Number.isNaN(emf) && t >= minC && t <= maxC ? this.#reference.emfMicrovolts(t) : emf;
    }
  }

  /** NaN outside the table and in the few cells that it leaves out. */
  #tabledEmf(temperatureC: number): number {
    const { firstC, c0, c1, c2, c3, c4, c5 } = this.#forward;
    const position = (temperatureC - firstC) * (1 / forwardCellC);
    const cell = position | 0;
    const x = position - cell;
    return (
      (c0[cell] as number) +
      x *
        ((c1[cell] as number) +
          x *
            ((c2[cell] as number) +
              x * ((c3[cell] as number) + x * ((c4[cell] as number) + x * (c5[cell] as number)))))
    );
  }

  /** Seebeck coefficient dE/dT. Throws outside the type's range. */
  seebeckMicrovoltsPerC(temperatureC: number): number {
    this.#checkTemperature(temperatureC);
    return this.#reference.seebeckMicrovoltsPerC(temperatureC);
  }

  /** Exact inverse of `emfMicrovolts`. Throws outside the range and where two temperatures share the EMF. */
  temperatureC(emfMicrovolts: number): number {
    const { firstMicrovolts, cellsPerMicrovolt, c0, c1, c2, c3 } = this.#cells;
    const position = (emfMicrovolts - firstMicrovolts) * cellsPerMicrovolt;
    const cell = position | 0;
    const x = position - cell;
    const b = c1[cell] as number;
    const c = c2[cell] as number;
    const d = c3[cell] as number;
    const near = (c0[cell] as number) + x * (b + x * (c + x * d));
    if (!(Math.abs(near) < beyondAnyC)) return this.#solvedC(emfMicrovolts);
    const slopeCPerMicrovolt = (b + x * (2 * c + x * 3 * d)) * cellsPerMicrovolt;
    const tabled = this.#tabledEmf(near);
    const emf = Number.isNaN(tabled) ? this.#reference.emfMicrovolts(near) : tabled;
    return near - (emf - emfMicrovolts) * slopeCPerMicrovolt;
  }

  /** Inverse by cubic cells alone: within 1e-7 C of `temperatureC`. Throws as it does. */
  quickTemperatureC(emfMicrovolts: number): number {
    const { firstMicrovolts, cellsPerMicrovolt, c0, c1, c2, c3 } = this.#cells;
    const position = (emfMicrovolts - firstMicrovolts) * cellsPerMicrovolt;
    const cell = position | 0;
    const x = position - cell;
    const t =
      (c0[cell] as number) +
      x * ((c1[cell] as number) + x * ((c2[cell] as number) + x * (c3[cell] as number)));
    return Math.abs(t) < beyondAnyC ? t : this.#solvedC(emfMicrovolts);
  }

  /** Outside the table, at its ends and across joints there are no coefficients: refused or solved, not interpolated. */
  #solvedC(emfMicrovolts: number): number {
    this.#checkEmf(emfMicrovolts);
    return this.#reference.solveC(emfMicrovolts);
  }

  /** `quickTemperatureC` over an array; values without an answer become NaN and are counted. */
  mapTemperaturesC(emfMicrovolts: Float64Array, into: Float64Array): { readonly refused: number } {
    const { firstMicrovolts, cellsPerMicrovolt, c0, c1, c2, c3 } = this.#cells;
    const count = emfMicrovolts.length;
    let rare = 0;
    // Neither call nor branch inside: the loop stays as tight as the language allows.
    for (let i = 0; i < count; i++) {
      const position = ((emfMicrovolts[i] as number) - firstMicrovolts) * cellsPerMicrovolt;
      const cell = position | 0;
      const x = position - cell;
      const t =
        (c0[cell] as number) +
        x * ((c1[cell] as number) + x * ((c2[cell] as number) + x * (c3[cell] as number)));
      into[i] = t;
      rare += Math.abs(t) < beyondAnyC ? 0 : 1;
    }
    let refused = 0;
    for (let i = 0; rare > 0 && i < count; i++)
      if (!(Math.abs(into[i] as number) < beyondAnyC)) {
        rare--;
        if (!this.#mapRare(emfMicrovolts[i] as number, into, i)) refused++;
      }
    return { refused };
  }

  #mapRare(emfMicrovolts: number, into: Float64Array, i: number): boolean {
    into[i] = Number.NaN;
    if (!(emfMicrovolts >= this.minMicrovolts && emfMicrovolts <= this.maxMicrovolts)) return false;
    into[i] = this.#reference.solveC(emfMicrovolts);
    return true;
  }

  #checkTemperature(temperatureC: number): void {
    if (temperatureC >= this.minC && temperatureC <= this.maxC) return;
    finite(temperatureC, 'temperatureC');
    throw new ThermometryError(
      temperatureC < this.minC ? 'below-range' : 'above-range',
      `${temperatureC} C is outside type ${this.type} (${this.minC} to ${this.maxC} C). Check the temperature and the letter type.`,
    );
  }

  #checkEmf(emfMicrovolts: number): void {
    if (emfMicrovolts >= this.minMicrovolts && emfMicrovolts <= this.maxMicrovolts) return;
    finite(emfMicrovolts, 'emfMicrovolts');
    const { minMicrovolts, ambiguousBelowC } = this.#reference;
    if (
      ambiguousBelowC !== undefined &&
      emfMicrovolts >= minMicrovolts &&
      emfMicrovolts <= this.minMicrovolts
    )
      throw new ThermometryError(
        'ambiguous',
        `${emfMicrovolts} uV of type ${this.type} belongs to two temperatures below ${ambiguousBelowC.toFixed(2)} C. Type ${this.type} cannot measure there; use another type or warm the junction.`,
      );
    const limits = `${(this.minMicrovolts / 1000).toFixed(4)} to ${(this.maxMicrovolts / 1000).toFixed(4)} mV`;
    throw new ThermometryError(
      emfMicrovolts < this.minMicrovolts ? 'below-range' : 'above-range',
      `${emfMicrovolts / 1000} mV is outside type ${this.type} (${limits}, ${this.minC} to ${this.maxC} C). Check the wiring, the polarity and the letter type.`,
    );
  }
}

const curves = new Map<ThermocoupleType, ThermocoupleCurve>();

/** The curve of a letter type, built on first use (a few milliseconds) and shared. */
export function thermocoupleCurve(type: ThermocoupleType): ThermocoupleCurve {
  let curve = curves.get(type);
  if (!curve) {
    curve = new ThermocoupleCurve(type);
    curves.set(type, curve);
  }
  return curve;
}
