import type { EngineKind } from '../kit/engines.js';

/** The engine as the owner calls it, as it reads in the middle of a sentence: `the Port engine`, `the Generator`. */
export const inWords = ({ name, kind }: { readonly name: string; readonly kind: EngineKind }): string => {
  const says = /\b(engine|motor|diesel|generator|genset)\b/i.test(name);
  return `the ${name}${says ? '' : kind === 'generator' ? ' generator' : ' engine'}`;
};
