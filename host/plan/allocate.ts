import type { PlanAnswers } from './answers.js';
import type { PlannedSpot } from './places.js';

/** A kit that does not fit the board; the message says what is too many and what to leave out. */
export class PlanDoesNotFit extends Error {
  readonly code = 'plan-does-not-fit';
}

/** How a probe reaches the board. */
export type Connection = { readonly pin: string } | { readonly address: number };

export type Allocation = {
  readonly connections: ReadonlyMap<string, Connection>;
  readonly digital: {
    readonly buzzerPin: number;
    readonly lampPin: number;
    readonly heartbeatPin: number;
    readonly port?: number;
    readonly starboard?: number;
  };
  /** A spare pin tied to half the supply, which tells a corrupted link from a hot probe; absent when none is left. */
  readonly canaryPin?: string;
};

/** Analogue pins, and those that the I2C bus takes. */
const boards = {
  uno: { analog: 6, i2c: ['A4', 'A5'] },
  nano: { analog: 8, i2c: ['A4', 'A5'] },
  /** On the Mega the I2C bus has pins of its own (20 and 21). */
  mega: { analog: 16, i2c: [] },
} as const;

/** The ends of the MCP960x range need one wire only (address pin to supply or ground); the rest a divider. */
const addresses = [0x67, 0x60, 0x66, 0x61, 0x65, 0x62, 0x64, 0x63] as const;

/** Gives every probe its pin or address, none twice. Throws PlanDoesNotFit. */
export const allocate = (spots: readonly PlannedSpot[], answers: PlanAnswers): Allocation => {
  const overI2c = (spot: PlannedSpot) =>
    spot.kind === 'thermocouple' && answers.exhaustGas.amplifier === 'mcp9601';
  const chips = spots.filter(overI2c);
  const onPins = spots.filter((spot) => !overI2c(spot));
  const board = boards[answers.board];
  const taken: readonly string[] = chips.length > 0 ? board.i2c : [];
  const pins = Array.from({ length: board.analog }, (_, index) => `A${index}`).filter(
    (pin) => !taken.includes(pin),
  );
  if (onPins.length > pins.length)
    throw new PlanDoesNotFit(
      `${onPins.length} probes need an analogue pin (${onPins.map((s) => s.id).join(', ')}) and ${
        answers.board === 'uno' ? 'an Uno' : `a ${answers.board}`
      } has ${pins.length}${taken.length > 0 ? ' beside the I2C bus' : ''}. Leave one out, read the exhaust gas over I2C (amplifier: mcp9601), or take board: mega.`,
    );
  const connections = new Map<string, Connection>();
  onPins.forEach((spot, index) => {
    connections.set(spot.id, { pin: pins[index] as string });
  });
  chips.forEach((spot, index) => {
    connections.set(spot.id, { address: addresses[index] as number });
  });
  const canaryPin = pins[onPins.length];
  return {
    connections,
    digital: {
      buzzerPin: 8,
      lampPin: 9,
      heartbeatPin: 10,
      ...(answers.runningInputs ? { port: 2, starboard: 3 } : {}),
    },
    ...(canaryPin === undefined ? {} : { canaryPin }),
  };
};
