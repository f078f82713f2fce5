import type { Bench } from './act.js';

/** What is really so on the bench, whatever the node believes; the answer of `GET /truth`. */
export const truthOf = ({ boat, emulation, port }: Bench) => ({
  emulatedS: Math.round(emulation.nowS * 1000) / 1000,
  probes: Object.fromEntries(
    [...boat.probes].map(([id, { probe, fault }]) => [
      id,
      {
        temperatureC: boat.elements.get(id)?.temperatureC,
        place: probe.place,
        fault: fault ?? null,
        dipped: boat.elements.get(id)?.dipped ?? false,
      },
    ]),
  ),
  engines: Object.fromEntries(
    Object.keys(boat.world.engines).map((engine) => [
      engine,
      {
        running: boat.world.isRunning(engine),
        rpm: Math.round(boat.world.rpm(engine)),
        pumpPressureKpa: Math.round(boat.world.pumpPressureKpa(engine) * 100) / 100,
      },
    ]),
  ),
  pins: boat.pins,
  missingPulseSoundsFromS: boat.missingPulse.soundsFromS,
  board: {
    powered: emulation.board.powered,
    cableIn: port.pluggedIn,
    portOpen: port.clientConnected,
    lostBytes: emulation.board.lostBytes,
  },
  pressureHectopascals: boat.pressureHectopascals,
});
