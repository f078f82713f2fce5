import { openAddress, parseNodeAddress } from './node-address.js';

/**
 * Whether something listens where a node should be, within `withinMs`. Gives it nothing to do. Throws `LinkError` for an
 * invalid address.
 */
export const nodeAnswers = async (address: string, withinMs = 1_500): Promise<boolean> => {
  const opening = openAddress(parseNodeAddress(address)).then(
    (wire) => {
      wire.on('error', () => undefined);
      wire.destroy();
      return true;
    },
    () => false,
  );
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<false>((done) => {
    timer = setTimeout(() => done(false), withinMs);
  });
  return Promise.race([opening, late]).finally(() => clearTimeout(timer));
};
