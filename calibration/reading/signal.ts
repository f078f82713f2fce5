/** The electrical quantity of one reading. Ohms for a thermistor, microvolts for a thermocouple, volts for an AD8495. */
export type ElectricalSignal = {
  readonly raw: number;
  readonly rawUnit: 'ohm' | 'microvolt' | 'volt';
  readonly coldJunctionC?: number | undefined;
};

/** A temperature and its standard uncertainty (k = 1). */
export type UncertainTemperature = { readonly temperatureC: number; readonly standardUncertaintyC: number };
