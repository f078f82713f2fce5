import { distance } from 'fastest-levenshtein';

/** Beyond this many wrong letters it is another word and not a typing mistake. */
const mostWrongLetters = 2;

/**
 * The options among the typed words that no command knows, in words, each with the known one that is nearest to it;
 * undefined when all are known and the trouble lies elsewhere. `known` without its dashes.
 */
export const mistyped = (typed: readonly string[], known: readonly string[]): string | undefined => {
  const wrong = typed.flatMap((word) => {
    const [, dashes = '', name = ''] = /^(--?)([A-Za-z][\w-]*)/.exec(word) ?? [];
    // --dataDir is --data-dir, and --no-season a known one said no to.
    const plain = name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`).replace(/^no-/, '');
    if (name === '' || ((dashes === '--' || name.length === 1) && known.includes(plain))) return [];
    const near = nearest(plain, known);
    return [`Unknown option ${dashes}${name}.${near === undefined ? '' : ` Did you mean --${near}?`}`];
  });
  return wrong.length > 0 ? wrong.join('\n') : undefined;
};

const nearest = (name: string, known: readonly string[]): string | undefined => {
  const [begun, ...others] = known.filter((option) => option.startsWith(name));
  if (begun !== undefined && others.length === 0) return begun;
  const ranked = known
    .map((option) => ({ option, wrongLetters: distance(name, option) }))
    .sort((a, b) => a.wrongLetters - b.wrongLetters);
  const [best] = ranked;
  return best && best.wrongLetters <= Math.min(mostWrongLetters, Math.ceil(name.length / 2))
    ? best.option
    : undefined;
};
