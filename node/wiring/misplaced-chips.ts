import type { Fault } from '../channels/fault.js';
import { hex } from '../channels/fields.js';
import { channelKinds, kindOf } from '../channels/table.js';
import type { Kit } from '../kit/schema.js';
import type { ProbeLook } from './probe-look.js';

/**
 * What chips on wrong addresses look like together: one that answers where the kit has none, and one missing while
 * another contradicts itself, because both sit on the same address.
 */
export const misplacedChips = (
  kit: Kit,
  probes: readonly ProbeLook[],
  unexpected: ReadonlyMap<number, string>,
): Fault[] => {
  const faults = [...unexpected].map(
    ([address, name]): Fault => ({
      fault: 'unexpected-chip',
      message: `${name} answers on ${hex(address)}, which no probe of the kit file uses.`,
      check: 'Compare the address jumper of every amplifier with the kit file.',
    }),
  );
  for (const family of families) {
    const addressesWith = (fault: string): number[] => [
      ...new Set(
        probes.flatMap((look) => {
          const channel = kit.probes.find(({ id }) => id === look.probe)?.channel;
          return channel &&
            'address' in channel &&
            kindOf(channel).chip === family &&
            look.faults.some((found) => found.fault === fault)
            ? [channel.address]
            : [];
        }),
      ),
    ];
    const missing = addressesWith('no-answer');
    const contradicting = addressesWith('contradicting');
    if (missing.length > 0 && contradicting.length > 0)
      faults.push({
        fault: 'one-address-twice',
        message: `${missing.map(hex).join(', ')} does not answer while ${contradicting.map(hex).join(', ')} contradicts itself: the missing ${family.name} is probably on that address too.`,
        check:
          'Unplug the chip that should be there. If the other one then answers well, correct its jumper.',
      });
  }
  return faults;
};

/** Chips of one family can be jumpered to each other's address. */
const families = new Set(Object.values(channelKinds).flatMap(({ chip }) => (chip ? [chip] : [])));
