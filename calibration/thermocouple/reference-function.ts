import { type ReferencePiece, referenceFunctions, type ThermocoupleType } from './reference-functions.js';

function millivolts(piece: ReferencePiece, t: number): number {
  const c = piece.c;
  let sum = 0;
  for (let i = c.length - 1; i >= 0; i--) sum = sum * t + (c[i] as number);
  if (piece.exponential) {
    const { a0, a1, a2 } = piece.exponential;
    sum += a0 * Math.exp(a1 * (t - a2) ** 2);
  }
  return sum;
}

function millivoltsPerC(piece: ReferencePiece, t: number): number {
  const c = piece.c;
  let sum = 0;
  for (let i = c.length - 1; i >= 1; i--) sum = sum * t + i * (c[i] as number);
  if (piece.exponential) {
    const { a0, a1, a2 } = piece.exponential;
    sum += a0 * Math.exp(a1 * (t - a2) ** 2) * 2 * a1 * (t - a2);
  }
  return sum;
}

function millivoltsPerC2(piece: ReferencePiece, t: number): number {
  const c = piece.c;
  let sum = 0;
  for (let i = c.length - 1; i >= 2; i--) sum = sum * t + i * (i - 1) * (c[i] as number);
  if (piece.exponential) {
    const { a0, a1, a2 } = piece.exponential;
    sum += a0 * Math.exp(a1 * (t - a2) ** 2) * 2 * a1 * (1 + 2 * a1 * (t - a2) ** 2);
  }
  return sum;
}

/** The published polynomials of one letter type, unchecked, and their inverse by safeguarded Newton steps. */
export class ReferenceFunction {
  readonly pieces: readonly ReferencePiece[];
  readonly minC: number;
  readonly maxC: number;
  readonly minMicrovolts: number;
  readonly maxMicrovolts: number;
  /** Below this EMF (inclusive) the inverse has two answers or none. */
  readonly minInvertibleMicrovolts: number;
  readonly minInvertibleC: number;
  readonly ambiguousBelowC: number | undefined;

  constructor(type: ThermocoupleType) {
    this.pieces = referenceFunctions[type];
    this.minC = (this.pieces[0] as ReferencePiece).fromC;
    this.maxC = (this.pieces.at(-1) as ReferencePiece).toC;
    this.maxMicrovolts = this.emfMicrovolts(this.maxC);
    if (type === 'B') {
      // Type B falls from 0 to about -2.6 uV at 21 C and is back at 0 near 42 C; from there on it only rises.
      const turnC = bisect(0, 42, (t) => this.seebeckMicrovoltsPerC(t));
      this.minMicrovolts = this.emfMicrovolts(turnC);
      this.minInvertibleC = bisect(turnC + 1, 60, (t) => this.emfMicrovolts(t));
      this.ambiguousBelowC = this.minInvertibleC;
      this.minInvertibleMicrovolts = Number.MIN_VALUE;
    } else {
      this.minMicrovolts = this.emfMicrovolts(this.minC);
      this.minInvertibleC = this.minC;
      this.ambiguousBelowC = undefined;
      this.minInvertibleMicrovolts = this.minMicrovolts;
    }
  }

  emfMicrovolts(temperatureC: number): number {
    return 1000 * millivolts(this.#pieceAt(temperatureC), temperatureC);
  }

  seebeckMicrovoltsPerC(temperatureC: number): number {
    return 1000 * millivoltsPerC(this.#pieceAt(temperatureC), temperatureC);
  }

  /** Second derivative of the EMF. */
  curvatureMicrovoltsPerC2(temperatureC: number): number {
    return 1000 * millivoltsPerC2(this.#pieceAt(temperatureC), temperatureC);
  }

  /**
   * The temperature of an EMF inside the invertible range. Newton steps from `guessC`, each kept inside a shrinking
   * bracket. Where the published pieces leave a gap at a joint (1e-6 C at most) the joint itself is the answer.
   */
  solveC(emfMicrovolts: number, guessC?: number): number {
    const target = emfMicrovolts / 1000;
    const piece =
      this.pieces.find((p) => target <= millivolts(p, p.toC)) ?? (this.pieces.at(-1) as ReferencePiece);
    let lowC = Math.max(piece.fromC, this.minInvertibleC);
    let highC = piece.toC;
    let t = guessC !== undefined && guessC > lowC && guessC < highC ? guessC : (lowC + highC) / 2;
    let bestC = t;
    let bestResidual = Number.POSITIVE_INFINITY;
    for (let step = 0; step < 80; step++) {
      const residual = millivolts(piece, t) - target;
      if (Math.abs(residual) < bestResidual) {
        bestResidual = Math.abs(residual);
        bestC = t;
      }
      if (residual === 0) break;
      if (residual > 0) highC = t;
      else lowC = t;
      const newton = t - residual / millivoltsPerC(piece, t);
      const next = newton > lowC && newton < highC ? newton : (lowC + highC) / 2;
      if (next === t || next === lowC || next === highC) break;
      if (Math.abs(next - t) < 1e-14 * Math.max(1, Math.abs(t)) && step > 2) break;
      t = next;
    }
    return this.#betterEnd(piece, target, bestC, bestResidual);
  }

  /** An EMF exactly at the end of a piece is answered by the end itself; bisection only comes near it. */
  #betterEnd(piece: ReferencePiece, target: number, bestC: number, bestResidual: number): number {
    for (const endC of [Math.max(piece.fromC, this.minInvertibleC), piece.toC])
      if (Math.abs(millivolts(piece, endC) - target) < bestResidual) return endC;
    return bestC;
  }

  /** A joint belongs to the piece below it, so that 0 C gives exactly 0 for every type. */
  #pieceAt(temperatureC: number): ReferencePiece {
    for (const piece of this.pieces) if (temperatureC <= piece.toC) return piece;
    return this.pieces.at(-1) as ReferencePiece;
  }
}

/** Root of a function that is negative at `low` and positive at `high`. */
function bisect(low: number, high: number, f: (x: number) => number): number {
  let below = low;
  let above = high;
  for (let i = 0; i < 100; i++) {
    const middle = (below + above) / 2;
    if (middle === below || middle === above) break;
    if (f(middle) < 0) below = middle;
    else above = middle;
  }
  return above;
}
