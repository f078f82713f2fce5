/** Follows `goal` with a first-order lag; exact for a goal that stays, so stable at every step. */
export const toward = (now: number, goal: number, dtS: number, tauS: number): number =>
  now + (goal - now) * (1 - Math.exp(-dtS / tauS));

/** One way for heat into a lump: its conductance, W/K, and the temperature at the other end. */
export type Path = readonly [wattsPerK: number, temperatureC: number];

/** A lump of one temperature after `dtS`, between paths that do not change meanwhile. */
export function lump(
  nowC: number,
  joulesPerK: number,
  dtS: number,
  paths: readonly Path[],
  watts = 0,
): number {
  let sum = 0;
  let heat = watts;
  for (const [wattsPerK, temperatureC] of paths) {
    sum += wattsPerK;
    heat += wattsPerK * temperatureC;
  }
  return sum > 1e-9 ? toward(nowC, heat / sum, dtS, joulesPerK / sum) : nowC + (watts * dtS) / joulesPerK;
}

/** Heat capacities, J/(kg K): burnt gas near 300 C, salt water. From memory of any heat-transfer textbook. */
export const gasJPerKgK = 1120;
export const seaJPerKgK = 3990;
/** Heat of evaporation of water near 60 to 100 C, J/kg; lower heating value of diesel, J/kg. */
export const steamJPerKg = 2.3e6;
export const dieselJPerKg = 42.7e6;
