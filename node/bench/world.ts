import type { Engine } from '../kit/engines.js';

/** A spot where a probe can sit; `all` for the sea and the engine-room air. */
export type Spot = { readonly engine: Engine; readonly place: string; readonly mounting: string };

/**
 * The boat behind the probes: physics only, no chips, no clock of its own.
 * The emulated board and the campaign step the same implementation.
 */
export interface World {
  /** Advances by `dtS` seconds (0 to 1). */
  step(dtS: number): void;
  /** The temperature of the sensing element itself, mounting and lag included. */
  elementTemperatureC(spot: Spot): number;
  /** True gauge pressure just behind the raw-water pump, kPa; about 0 when it is stopped or draws air. */
  pumpPressureKpa(engine: Engine): number;
  /** True speed of the crankshaft, 1/min; 0 when stopped. */
  rpm(engine: Engine): number;
  isRunning(engine: Engine): boolean;
  /** 0 stops the engine; 0.05 to 1 is idle to wide open. */
  setThrottle(engine: Engine, value: number): void;
  bagIntake(engine: Engine): void;
  clearIntake(engine: Engine): void;
  /** Removes impeller vanes; `flowLeft` 0 to 1 of the normal flow, 1 is a new impeller. */
  wearImpeller(engine: Engine, flowLeft: number): void;
}
