/** Below this share of its speed a message is printed; our choice, well above where scans come so late that the node calls the board lost. */
const slowShare = 0.8;
const sayAgainAfterS = 60;

/**
 * Says when the computer cannot keep up with the emulated board, so that a board that is then called lost is not looked for in the
 * kit. The answer is called with the emulated seconds that were forgiven so far, and the wall's seconds; it returns what is to
 * be said now, if anything: at once, again each minute, and once when it is over.
 */
export const paceWords = (): ((behindS: number, atS: number) => string | undefined) => {
  let last: { readonly behindS: number; readonly atS: number } | undefined;
  let saidAtS: number | undefined;
  return (behindS, atS) => {
    const before = last;
    last = { behindS, atS };
    if (!before || atS <= before.atS) return undefined;
    const share = 1 - (behindS - before.behindS) / (atS - before.atS);
    if (share >= slowShare) {
      if (saidAtS === undefined) return undefined;
      saidAtS = undefined;
      return 'The emulated board keeps up again.';
    }
    if (saidAtS !== undefined && atS - saidAtS < sayAgainAfterS) return undefined;
    saidAtS = atS;
    return `THIS COMPUTER IS TOO SLOW for the emulated board just now: it runs at ${Math.max(0, Math.round(share * 100))} % of its speed, so the node may call the board lost and alerts may come late. On a real boat the board is no program. Close what else runs here.`;
  };
};
