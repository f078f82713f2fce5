/** Lets one exchange with a chip finish before the next begins. */
export type Turn = <T>(talk: () => Promise<T>) => Promise<T>;

/**
 * Turns on one bus. An amplifier's voltage is believed when it reads the same before and after the cold junction; with the
 * questions to other chips in between, and 20 ms for each on a slow USB bridge, a conversion of 320 ms would end within most
 * of such pairs.
 */
export const takingTurns = (): Turn => {
  let last: Promise<unknown> = Promise.resolve();
  return (talk) => {
    const mine = last.then(talk);
    last = mine.catch(() => undefined);
    return mine;
  };
};
