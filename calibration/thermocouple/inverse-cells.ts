import type { ReferenceFunction } from './reference-function.js';

/**
 * Cubic pieces t = c0 + x (c1 + x (c2 + x c3)), x from 0 to 1 across a cell; NaN where the cubic is not good enough, the first
 * cell among them. An array for each coefficient: their place needs no arithmetic that could run over.
 */
export type InverseCells = {
  readonly firstMicrovolts: number;
  readonly cellsPerMicrovolt: number;
  readonly c0: Float64Array;
  readonly c1: Float64Array;
  readonly c2: Float64Array;
  readonly c3: Float64Array;
};

/** 1/64 mV for the base metals; the noble metals give a sixth of the EMF and get cells an eighth as wide. */
const cellsPerMillivolt = (reference: ReferenceFunction): number =>
  reference.maxMicrovolts < 20_900 && reference.minMicrovolts > -300 ? 512 : 64;

/** A cell whose middle strays further than this from the solved inverse is left out. */
const toleranceC = 1e-7;

/**
 * Tables the inverse of a reference function. Cell borders are solved, slopes are 1/E', and Hermite's cubic joins them.
 * Cells at the ends (where E' nearly vanishes) and across a joint of the published pieces stay NaN.
 */
export function buildInverseCells(reference: ReferenceFunction): InverseCells {
  const cellsPerMicrovolt = cellsPerMillivolt(reference) / 1000;
  const first = Math.floor(reference.minInvertibleMicrovolts * cellsPerMicrovolt);
  const count = Math.ceil(reference.maxMicrovolts * cellsPerMicrovolt) - first;
  const firstMicrovolts = first / cellsPerMicrovolt;
  const none = (): Float64Array => new Float64Array(count).fill(Number.NaN);
  const cells = { firstMicrovolts, cellsPerMicrovolt, c0: none(), c1: none(), c2: none(), c3: none() };
  const emfOf = (border: number): number => (first + border) / cellsPerMicrovolt;
  const inside = (emf: number): boolean =>
    emf >= reference.minInvertibleMicrovolts && emf <= reference.maxMicrovolts;

  let leftC: number | undefined;
  for (let cell = 0; cell < count; cell++) {
    const left = emfOf(cell);
    const right = emfOf(cell + 1);
    if (!inside(left) || !inside(right)) continue;
    const t0 = leftC ?? reference.solveC(left);
    const t1 = reference.solveC(right, t0);
    leftC = t1;
    if (reference.pieces.some((p) => p.fromC > t0 && p.fromC < t1)) continue;
    // The slope inside the cell, also where a joint of the pieces is its border.
    const nudge = (t1 - t0) * 1e-9;
    const d0 = 1 / (reference.seebeckMicrovoltsPerC(t0 + nudge) * cellsPerMicrovolt);
    const d1 = 1 / (reference.seebeckMicrovoltsPerC(t1 - nudge) * cellsPerMicrovolt);
    const cubic = [t0, d0, 3 * (t1 - t0) - 2 * d0 - d1, 2 * (t0 - t1) + d0 + d1] as const;
    const middleC = cubic[0] + 0.5 * (cubic[1] + 0.5 * (cubic[2] + 0.5 * cubic[3]));
    if (Math.abs(middleC - reference.solveC((left + right) / 2, middleC)) > toleranceC) continue;
    [cells.c0[cell], cells.c1[cell], cells.c2[cell], cells.c3[cell]] = cubic;
  }
  return cells;
}
