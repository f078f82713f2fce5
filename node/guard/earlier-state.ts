/** What was reported has these names in state files of 0.2.0 and before. */
type EarlierName = 'told' | 'toldK';

type Written = Readonly<Record<string, unknown>>;
const isObject = (value: unknown): value is Written =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const renamed = (value: unknown, from: EarlierName, to: string): unknown => {
  if (!isObject(value) || !(from in value)) return value;
  const { [from]: reported, ...rest } = value;
  return { ...rest, [to]: reported };
};

/** A written guard state (parsed JSON) with the names of today; anything else as it is. */
export const withTodaysNames = (written: unknown): unknown => {
  if (!isObject(written)) return written;
  const { dividers, entries, probes } = written;
  return {
    ...written,
    ...(isObject(dividers) && { dividers: renamed(dividers, 'toldK', 'reportedK') }),
    ...(Array.isArray(entries) && { entries: entries.map((entry) => renamed(entry, 'told', 'reported')) }),
    ...(isObject(probes) && {
      probes: Object.fromEntries(
        Object.entries(probes).map(([id, probe]) => {
          if (!isObject(probe) || !isObject(probe.elbow)) return [id, probe];
          return [
            id,
            { ...probe, elbow: { ...probe.elbow, seat: renamed(probe.elbow.seat, 'told', 'finding') } },
          ];
        }),
      ),
    }),
  };
};
