/** What a probe can measure. */
export const quantities = ['temperature', 'pressure', 'speed'] as const;
export type Quantity = (typeof quantities)[number];

/** The names that a value and its standard uncertainty (k = 1) have in readings, rows and files. They end in the unit. */
export const valueNames = {
  temperature: { value: 'temperatureC', uncertainty: 'uncertaintyC' },
  /** Gauge pressure, kilopascal. */
  pressure: { value: 'pressureKpa', uncertainty: 'uncertaintyKpa' },
  /** Speed of a crankshaft, 1/min. */
  speed: { value: 'speedRpm', uncertainty: 'uncertaintyRpm' },
} as const satisfies Record<Quantity, { value: string; uncertainty: string }>;

type Names = typeof valueNames;
/** A measured value under the names of its quantity. */
export type Valued<Q extends Quantity = Quantity> = {
  [K in Q]: { readonly quantity: K } & {
    readonly [N in Names[K]['value'] | Names[K]['uncertainty']]: number;
  };
}[Q];

/** A value under the names of its quantity. */
export const valued = (quantity: Quantity, value: number, uncertainty: number): Valued => {
  switch (quantity) {
    case 'temperature':
      return { quantity, temperatureC: value, uncertaintyC: uncertainty };
    case 'pressure':
      return { quantity, pressureKpa: value, uncertaintyKpa: uncertainty };
    case 'speed':
      return { quantity, speedRpm: value, uncertaintyRpm: uncertainty };
  }
};

/** The bare numbers of a value, whatever its quantity. */
export const numbersOf = (v: Valued): { readonly value: number; readonly uncertainty: number } => {
  switch (v.quantity) {
    case 'temperature':
      return { value: v.temperatureC, uncertainty: v.uncertaintyC };
    case 'pressure':
      return { value: v.pressureKpa, uncertainty: v.uncertaintyKpa };
    case 'speed':
      return { value: v.speedRpm, uncertainty: v.uncertaintyRpm };
  }
};

/** The values of a row: at most those of one quantity, and none where the reading is missing. */
export type RowValues = {
  readonly [N in Names[Quantity]['value'] | Names[Quantity]['uncertainty']]?: number;
};

/** Which quantity a row has a value of, and the value; nothing where it has none. */
export const rowValue = (
  row: RowValues,
): { readonly quantity: Quantity; readonly value: number; readonly uncertainty?: number } | undefined => {
  for (const quantity of quantities) {
    const names = valueNames[quantity];
    const value = row[names.value];
    const uncertainty = row[names.uncertainty];
    if (value !== undefined) return { quantity, value, ...(uncertainty !== undefined && { uncertainty }) };
  }
  return undefined;
};
