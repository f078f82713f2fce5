import type { Kit } from '../kit/schema.js';
import type { Fault } from './fault-words.js';
import type { ProbeLook } from './look.js';

const hex = (address: number): string => `0x${address.toString(16)}`;

/**
 * What chips on wrong addresses look like together: one that answers where the kit has none, and one missing while
 * another contradicts itself, because both sit on the same address.
 */
export const misplacedChips = (
  kit: Kit,
  probes: readonly ProbeLook[],
  strangers: ReadonlyMap<number, string>,
): Fault[] => {
  const faults = [...strangers].map(
    ([address, name]): Fault => ({
      fault: 'stranger',
      saying: `${name} answers on ${hex(address)}, which no probe of the kit file uses.`,
      check: 'Compare the address jumper of every amplifier with the kit file.',
    }),
  );
  const addressesWith = (fault: string): number[] =>
    probes.flatMap((look) => {
      const channel = kit.probes.find(({ id }) => id === look.probe)?.channel;
      return channel?.kind === 'mcp960x' && look.faults.some((found) => found.fault === fault)
        ? [channel.address]
        : [];
    });
  const missing = addressesWith('no-answer');
  const contradicting = addressesWith('contradicting');
  if (missing.length > 0 && contradicting.length > 0)
    faults.push({
      fault: 'one-address-twice',
      saying: `${missing.map(hex).join(', ')} does not answer while ${contradicting.map(hex).join(', ')} contradicts itself: the missing amplifier is probably on that address too.`,
      check:
        'Unplug the amplifier that should be there. If the other one then answers well, mend its jumper.',
    });
  return faults;
};
