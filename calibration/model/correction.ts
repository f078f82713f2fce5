import type { CalibrationModel } from './calibration.js';

type Corrected = Extract<CalibrationModel, { kind: 'corrected' }>;

/** What is taken off an indication: cubic between its knots (Catmull and Rom), so that its slope has no jumps. */
export function correctionAt({ fromC, stepC, correctionsC }: Corrected, indicatedC: number): number {
  const last = correctionsC.length - 1;
  const place = Math.max(0, Math.min(last, (indicatedC - fromC) / stepC));
  const cell = Math.min(last - 1, Math.floor(place));
  const x = place - cell;
  const b = correctionsC[cell] as number;
  const c = correctionsC[cell + 1] as number;
  const a = correctionsC[cell - 1] ?? 2 * b - c;
  const d = correctionsC[cell + 2] ?? 2 * c - b;
  return b + 0.5 * x * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)));
}

/** How far outside its range the law is asked, so that the knots at both ends have their correction too. */
const beyondC = 20;

/**
 * Knots of a correction by indication, from what a probe indicates at each true temperature. Solves indicated(T) = knot
 * by steps of the correction itself, which is small beside a degree per degree. `indicatedC` must answer 20 C beyond
 * `validC` at both ends.
 */
export function correctedModel(
  indicatedC: (trueC: number) => number,
  validC: { readonly from: number; readonly to: number },
  stepC: number,
): Corrected {
  const count = Math.round((validC.to - validC.from) / stepC) + 1;
  const correctionsC = Array.from({ length: count }, (_, i) => {
    const knotC = validC.from + i * stepC;
    let trueC = knotC;
    for (let step = 0; step < 12; step++) {
      const off = knotC - indicatedC(trueC);
      trueC = Math.max(validC.from - beyondC, Math.min(validC.to + beyondC, trueC + off));
      if (Math.abs(off) < 1e-7) break;
    }
    return knotC - trueC;
  });
  return { kind: 'corrected', fromC: validC.from, stepC, correctionsC };
}

const perDegree = 8;

/**
 * Takes the correction off a whole history, in place: from a table of eighths of a degree, straight between, within 1e-7 C
 * of `correctionAt` for corrections as smooth as ours. NaN stays NaN.
 */
export function historyCorrection(model: Corrected): (indicatedC: Float64Array) => void {
  const { fromC, stepC, correctionsC } = model;
  const cells = Math.round(stepC * (correctionsC.length - 1) * perDegree);
  const table = Float64Array.from({ length: cells + 1 }, (_, i) =>
    correctionAt(model, fromC + i / perDegree),
  );
  const last = cells - 1;
  return (indicatedC) => {
    for (let i = 0; i < indicatedC.length; i++) {
      const t = indicatedC[i] as number;
      const place = Math.max(0, Math.min(cells, (t - fromC) * perDegree));
      const cell = Math.min(last, place | 0);
      const below = table[cell] as number;
      indicatedC[i] = t - (below + (place - cell) * ((table[cell + 1] as number) - below));
    }
  };
}
