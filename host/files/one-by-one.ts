/** Runs what it is given one after another, in the order asked: for work that would choke a small computer side by side. */
export const oneByOne = (): (<T>(work: () => Promise<T>) => Promise<T>) => {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const mine = last.then(work);
    last = mine.catch(() => undefined);
    return mine;
  };
};
