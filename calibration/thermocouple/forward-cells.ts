import type { ReferenceFunction } from './reference-function.js';

/** EMF in microvolts by cubic cells of 1 C from `firstC`: c0 + x (c1 + x (c2 + x c3)). */
export type ForwardCells = { readonly firstC: number; readonly coefficients: Float64Array };

/** Tables a reference function between whole degrees; a cell across a joint of the published pieces stays NaN. */
export function buildForwardCells(reference: ReferenceFunction): ForwardCells {
  const firstC = Math.ceil(reference.minC);
  const count = Math.floor(reference.maxC) - firstC;
  const coefficients = new Float64Array(count * 4).fill(Number.NaN);
  for (let cell = 0; cell < count; cell++) {
    const t0 = firstC + cell;
    const t1 = t0 + 1;
    if (reference.pieces.some((p) => p.fromC > t0 && p.fromC < t1)) continue;
    const e0 = reference.emfMicrovolts(t0);
    const e1 = reference.emfMicrovolts(t1);
    // The slope inside the cell, also where a joint of the pieces is its border.
    const d0 = reference.seebeckMicrovoltsPerC(t0 + 1e-9);
    const d1 = reference.seebeckMicrovoltsPerC(t1 - 1e-9);
    coefficients.set([e0, d0, 3 * (e1 - e0) - 2 * d0 - d1, 2 * (e0 - e1) + d0 + d1], cell * 4);
  }
  return { firstC, coefficients };
}
