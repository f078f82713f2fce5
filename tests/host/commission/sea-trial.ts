/** The trial that commissioning asks for, 45 min: when, and the throttle or a generator's electrical load, 0 to 1. */
export const trial: readonly (readonly [s: number, value: number])[] = [
  [10, 0.05],
  [300, 0.2],
  [480, 0.4],
  [660, 0.6],
  [840, 0.8],
  [1020, 1],
  [1260, 0.06],
  [1380, 1],
  [1500, 0.06],
  [1620, 0.85],
  [1740, 0.7],
  [2200, 0.06],
  [2300, 0],
  [2500, 0.06],
  [2560, 0.7],
  [3200, 0],
];
