import { finite, ThermometryError } from '../errors.js';
import { buildForwardCells, type ForwardCells } from './forward-cells.js';
import { buildInverseCells, type InverseCells } from './inverse-cells.js';
import { ReferenceFunction } from './reference-function.js';
import type { ThermocoupleType } from './reference-functions.js';

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

  /** EMF by cubic cells: within 1e-4 uV of `emfMicrovolts`, several times faster. Throws as it does. */
  quickEmfMicrovolts(temperatureC: number): number {
    const { firstC, coefficients } = this.#forward;
    const position = temperatureC - firstC;
    const cell = Math.floor(position);
    const x = position - cell;
    const at = cell * 4;
    const emf =
      (coefficients[at] as number) +
      x *
        ((coefficients[at + 1] as number) +
          x * ((coefficients[at + 2] as number) + x * (coefficients[at + 3] as number)));
    return Number.isNaN(emf) ? this.emfMicrovolts(temperatureC) : emf;
  }

  /** Seebeck coefficient dE/dT. Throws outside the type's range. */
  seebeckMicrovoltsPerC(temperatureC: number): number {
    this.#checkTemperature(temperatureC);
    return this.#reference.seebeckMicrovoltsPerC(temperatureC);
  }

  /** Exact inverse of `emfMicrovolts`. Throws outside the range and where two temperatures share the EMF. */
  temperatureC(emfMicrovolts: number): number {
    this.#checkEmf(emfMicrovolts);
    const { firstMicrovolts, cellsPerMicrovolt, coefficients } = this.#cells;
    const position = (emfMicrovolts - firstMicrovolts) * cellsPerMicrovolt;
    const cell = Math.floor(position);
    const x = position - cell;
    const at = cell * 4;
    const c1 = coefficients[at + 1] as number;
    const c2 = coefficients[at + 2] as number;
    const c3 = coefficients[at + 3] as number;
    const near = (coefficients[at] as number) + x * (c1 + x * (c2 + x * c3));
    // A cell without coefficients lies at an end of the curve or across a joint: solved, not interpolated.
    if (Number.isNaN(near)) return this.#reference.solveC(emfMicrovolts);
    const slopeCPerMicrovolt = (c1 + x * (2 * c2 + x * 3 * c3)) * cellsPerMicrovolt;
    return near - (this.#reference.emfMicrovolts(near) - emfMicrovolts) * slopeCPerMicrovolt;
  }

  /** Inverse by cubic cells alone: within 1e-7 C of `temperatureC`. Throws as it does. */
  quickTemperatureC(emfMicrovolts: number): number {
    const { firstMicrovolts, cellsPerMicrovolt, coefficients } = this.#cells;
    const position = (emfMicrovolts - firstMicrovolts) * cellsPerMicrovolt;
    const cell = Math.floor(position);
    const x = position - cell;
    const at = cell * 4;
    const t =
      (coefficients[at] as number) +
      x *
        ((coefficients[at + 1] as number) +
          x * ((coefficients[at + 2] as number) + x * (coefficients[at + 3] as number)));
    // Outside the table, at its ends and across joints the cubic is NaN; those few go the careful way.
    return Number.isNaN(t) ? this.temperatureC(emfMicrovolts) : t;
  }

  /** `quickTemperatureC` over an array; values without an answer become NaN and are counted. */
  mapTemperaturesC(emfMicrovolts: Float64Array, into: Float64Array): { readonly refused: number } {
    const { firstMicrovolts, cellsPerMicrovolt, coefficients } = this.#cells;
    let refused = 0;
    for (let i = 0; i < emfMicrovolts.length; i++) {
      const position = ((emfMicrovolts[i] as number) - firstMicrovolts) * cellsPerMicrovolt;
      // Whole numbers wrap beyond 32 bits; then x is enormous, so is t, and the rare path sorts it out.
      const cell = position | 0;
      const x = position - cell;
      const at = cell * 4;
      const t =
        (coefficients[at] as number) +
        x *
          ((coefficients[at + 1] as number) +
            x * ((coefficients[at + 2] as number) + x * (coefficients[at + 3] as number)));
      into[i] = t;
      if (!(t > -300 && t < 3000) && !this.#mapRare(emfMicrovolts[i] as number, into, i)) refused++;
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
