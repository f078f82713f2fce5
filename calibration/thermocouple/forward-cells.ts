import type { ReferenceFunction } from './reference-function.js';

/**
 * EMF in microvolts by quintic cells of 2 C from `firstC`: c0 + x (c1 + x (... + x c5)), x from 0 to 1 across a cell.
 * NaN where that is not the published polynomial to its rounding, the first cell among them.
 */
export type ForwardCells = { readonly firstC: number } & Readonly<
  Record<(typeof names)[number], Float64Array>
>;

const names = ['c0', 'c1', 'c2', 'c3', 'c4', 'c5'] as const;

/** Width of a cell. */
export const forwardCellC = 2;

/** Tables a reference function; a cell across a joint of the published pieces stays NaN. */
export function buildForwardCells(reference: ReferenceFunction): ForwardCells {
  // One cell below the range, so that what is a little too cold finds no answer there.
  const firstC = Math.ceil(reference.minC) - forwardCellC;
  const count = Math.floor((reference.maxC - firstC) / forwardCellC);
  const none = (): Float64Array => new Float64Array(count).fill(Number.NaN);
  const cells = { firstC, c0: none(), c1: none(), c2: none(), c3: none(), c4: none(), c5: none() };
  const at = (t: number): number => reference.emfMicrovolts(t);
  for (let cell = 1; cell < count; cell++) {
    const t0 = firstC + forwardCellC * cell;
    const t1 = t0 + forwardCellC;
    if (reference.pieces.some((p) => p.fromC > t0 && p.fromC < t1)) continue;
    const quintic = hermite(reference, t0, t1);
    if (!sameBetween(quintic, at, t0)) continue;
    names.forEach((name, i) => {
      cells[name][cell] = quintic[i] as number;
    });
  }
  return cells;
}

/** Hermite's quintic through value, slope and curvature at both ends, by x from 0 to 1. */
function hermite(reference: ReferenceFunction, t0: number, t1: number): readonly number[] {
  const h = forwardCellC;
  // Slope and curvature inside the cell, also where a joint of the pieces is its border.
  const [in0, in1] = [t0 + 1e-9, t1 - 1e-9];
  const [e0, e1] = [reference.emfMicrovolts(t0), reference.emfMicrovolts(t1)];
  const [d0, d1] = [h * reference.seebeckMicrovoltsPerC(in0), h * reference.seebeckMicrovoltsPerC(in1)];
  const [b0, b1] = [
    h * h * reference.curvatureMicrovoltsPerC2(in0),
    h * h * reference.curvatureMicrovoltsPerC2(in1),
  ];
  const rise = e1 - e0;
  return [
    e0,
    d0,
    b0 / 2,
    10 * rise - 6 * d0 - 4 * d1 - 1.5 * b0 + 0.5 * b1,
    -15 * rise + 8 * d0 + 7 * d1 + 1.5 * b0 - b1,
    6 * rise - 3 * (d0 + d1) + 0.5 * (b1 - b0),
  ];
}

/** Rounding of the polynomials themselves, microvolts: beyond it a cell would be another curve. */
const roundingMicrovolts = 1e-9;

const sameBetween = (quintic: readonly number[], at: (t: number) => number, t0: number): boolean =>
  [0.25, 0.5, 0.75].every(
    (x) =>
      Math.abs(quintic.reduceRight((sum, value) => sum * x + value, 0) - at(t0 + forwardCellC * x)) <
      roundingMicrovolts,
  );
