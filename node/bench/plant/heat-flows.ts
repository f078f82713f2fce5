/** Heat moved during the last step, kW; the names say from and to. Fuel is what burns, not what is stored. */
export type HeatFlows = ReturnType<typeof noHeat>;

export const noHeat = () => ({
  fuelToCoolant: 0,
  fuelToRaw: 0,
  fuelToRoom: 0,
  coolantToRaw: 0,
  coolantToRoom: 0,
  rawToSea: 0,
  rawToSteam: 0,
  gasToManifold: 0,
  manifoldToCoolant: 0,
  manifoldToWall: 0,
  manifoldToRoom: 0,
  filmToWall: 0,
  gasToWall: 0,
  wallToRoom: 0,
  filmToHose: 0,
  gasToHose: 0,
  hoseToRoom: 0,
});
