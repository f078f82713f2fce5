/**
 * What the exhaust gas was lately, as three first-order memories in C. The elbow answers the load late; these say how
 * late. `a` 6 s, `b` 22 s, `c` 110 s.
 */
export type ExhaustMemory = { readonly a: number; readonly b: number; readonly c: number };

export function stepExhaustMemory(
  memory: ExhaustMemory | undefined,
  gasC: number,
  dtS: number,
): ExhaustMemory {
  if (!memory) return { a: gasC, b: gasC, c: gasC };
  return {
    a: memory.a + (gasC - memory.a) * (1 - Math.exp(-dtS / 6)),
    b: memory.b + (gasC - memory.b) * (1 - Math.exp(-dtS / 22)),
    c: memory.c + (gasC - memory.c) * (1 - Math.exp(-dtS / 110)),
  };
}

/** Exhaust gas this warm and not falling is made by a running engine: after a stop it falls by 0.1 K/s or more. */
export const isFiring = (memory: ExhaustMemory): boolean => memory.a > 110 && memory.a - memory.c > -4;
