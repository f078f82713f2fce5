type Written = Readonly<Record<string, unknown>>;
const isObject = (value: unknown): value is Written =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The same with other names; anything that has no names as it is. */
const renamed = (value: unknown, names: Readonly<Record<string, string>>): unknown =>
  isObject(value)
    ? Object.fromEntries(Object.entries(value).map(([name, one]) => [names[name] ?? name, one]))
    : value;

const elbowOf = (written: unknown): unknown => {
  const elbow = renamed(written, { standing: 'active', slow: 'trend', seat: 'attachment' });
  return isObject(elbow) && 'attachment' in elbow
    ? { ...elbow, attachment: renamed(elbow.attachment, { told: 'finding' }) }
    : elbow;
};

/** A written guard state (parsed JSON) of 0.2.0 or before with the names of today; anything else as it is. */
export const withTodaysNames = (written: unknown): unknown => {
  if (!isObject(written)) return written;
  const { dividers, entries, probes } = written;
  return {
    ...written,
    ...(isObject(dividers) && { dividers: renamed(dividers, { toldK: 'reportedK' }) }),
    ...(Array.isArray(entries) && { entries: entries.map((entry) => renamed(entry, { told: 'reported' })) }),
    ...(isObject(probes) && {
      probes: Object.fromEntries(
        Object.entries(probes).map(([id, probe]) => [
          id,
          isObject(probe) && isObject(probe.elbow) ? { ...probe, elbow: elbowOf(probe.elbow) } : probe,
        ]),
      ),
    }),
  };
};
