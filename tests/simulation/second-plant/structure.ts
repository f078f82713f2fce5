/** How the engines of this family of plants are built, beside their traits: what is a law in one boat and another in the next. */
export type Structure = {
  /** Parts of the elbow along the stream; the probe sits at none of its ends. */
  readonly nodes: number;
  /** Heat exchange of gas and spray: 1 - exp(-grip x (water / gas)^power). */
  readonly sprayGrip: number;
  readonly sprayPower: number;
  /** Part of its gain that spray of this temperature loses to vapour; at most 0.85. */
  readonly evaporating: (waterC: number) => number;
  /** A wall hotter than this is kept dry by the steam beneath the film (Leidenfrost), C, and what the film then still does. */
  readonly filmBoilsC: number;
  readonly boilingFilm: number;
  /** Torque that the propeller asks for grows with this power of the speed. */
  readonly propellerPower: number;
  /** Air for each turn: what displacement takes in, and what a turbocharger adds with the torque. */
  readonly breathes: number;
  readonly charged: number;
  /** Part of the exchanger's flow that passes even a closed thermostat. */
  readonly thermostatLeaks: number;
  /** A wax element that sticks and then jumps, or one that opens along one line and closes along another. */
  readonly thermostat: 'sticks' | 'two-lines';
  /** Water that exchanger and pipes hold, kg a kW rated. */
  readonly heldKgPerKw: number;
};

export const secondStructure: Structure = {
  nodes: 4,
  sprayGrip: 0.9,
  sprayPower: 0.5,
  // Spray loses more of its gain to vapour the warmer it gets.
  evaporating: (waterC) => Math.max(0, (waterC - 20) / 100),
  filmBoilsC: Number.POSITIVE_INFINITY,
  boilingFilm: 1,
  propellerPower: 1.9,
  breathes: 0.8,
  charged: 0.9,
  thermostatLeaks: 0,
  thermostat: 'sticks',
  heldKgPerKw: 0.012,
};
