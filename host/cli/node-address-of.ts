import type { Kit } from '../../node/index.js';
import { UsageError } from './exit.js';

/** Where the node of a kit is: as asked, or as the kit has it. Throws `UsageError` for a kit on a serial wire. */
export const nodeAddressOf = ({ link }: Kit, asked: string | undefined): string => {
  const address = asked ?? (link.over === 'tcp' ? link.listen : undefined);
  if (address !== undefined) return address;
  throw new UsageError('--node: give the address of the node, for example 127.0.0.1:8472.');
};
