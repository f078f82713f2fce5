import { placeName } from '../look/words.js';
import { isShared } from './engines.js';
import { now } from './stream.js';

/** A probe, or what the store calls one. */
type Placed = {
  readonly engine: string;
  readonly place: string;
  readonly id?: string;
  readonly name?: string;
};

/** The probes that one engine has at this place, in the order of the kit. */
const beside = ({ engine, place }: Placed) =>
  isShared(engine) ? [] : (now.value?.probes ?? []).filter((p) => p.engine === engine && p.place === place);

/** Which of them this is; the first where there is no other. */
export const nthAt = (probe: Placed): number =>
  Math.max(
    0,
    beside(probe).findIndex(
      ({ id, node }) => id === probe.id || [id, `${node}/${id}`].includes(probe.name ?? ''),
    ),
  );

const mountings: Readonly<Record<string, string>> = { 'strap-on': 'ring', well: 'well', free: 'free' };

/** `Wet elbow`; where an engine has two of them `Wet elbow, ring`, or by number where they are mounted alike. */
export const placeOf = (probe: Placed): string => {
  const all = beside(probe);
  if (all.length < 2) return placeName(probe.place);
  const nth = nthAt(probe);
  const { mounting = '' } = all[nth] ?? {};
  const alone = all.filter((p) => p.mounting === mounting).length === 1;
  return `${placeName(probe.place)}, ${alone ? (mountings[mounting] ?? mounting) : nth + 1}`;
};
