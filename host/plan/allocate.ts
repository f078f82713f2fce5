import { RoomError } from '../../node/index.js';
import type { PlanAnswers } from './answers.js';
import type { PlannedSpot } from './places.js';
import { gaugedEngines } from './pressure/planned-gauges.js';

/** A kit that does not fit the board; the message says what is too many and what to leave out. */
export class PlanError extends RoomError {
  readonly code = 'plan-does-not-fit';
  readonly errorCategory = 'usage';
}

/** How a probe reaches the board: a pin, a chip of its own, or an input of a converter that it shares. */
export type Connection =
  | { readonly over: 'pin'; readonly pin: string }
  | { readonly over: 'mcp9601'; readonly address: number }
  | {
      readonly over: 'ads1115';
      readonly address: number;
      readonly input: string;
      readonly supplyInput: string;
    };

export type Allocation = {
  readonly connections: ReadonlyMap<string, Connection>;
  /** For the pressure probes, one for each engine that has one. */
  readonly gaugePins: readonly string[];
  readonly digital: {
    readonly buzzerPin: number;
    readonly lampPin: number;
    readonly heartbeatPin: number;
    /** Running input of each engine; empty without them. */
    readonly running: Readonly<Record<string, number>>;
  };
  /** A spare pin tied to half the supply, which separates a corrupted link from a hot probe; absent when none is left. */
  readonly referencePin?: string;
  /** Where the buzzer's current is read back; absent where it was not asked for, or no pin is left. */
  readonly buzzerCurrentPin?: string;
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

/** Pins 0 and 1 are the serial line; the running inputs of up to four engines follow them. */
const firstRunningPin = 2;

/** ADS1115: three inputs for probes, the fourth sees their supply so that it cancels; four addresses. */
const adsInputs = ['AIN0', 'AIN1', 'AIN2'] as const;
const adsSupplyInput = 'AIN3';
const adsAddresses = [0x48, 0x49, 0x4a, 0x4b] as const;

/**
 * Gives every probe its pin, address or input, none twice. Those in `fine` go to an ADS1115; so do the last
 * thermistors when a board runs out of pins, unless the answers keep everything on the board. Throws PlanError.
 */
export const allocate = (
  spots: readonly PlannedSpot[],
  answers: PlanAnswers,
  fine: ReadonlySet<string>,
): Allocation => {
  const chips = spots.filter((s) => s.kind === 'thermocouple' && answers.exhaustGas.amplifier === 'mcp9601');
  const analogue = spots.filter((spot) => !chips.includes(spot));
  const board = boards[answers.board];
  const pinsWith = (i2c: boolean) =>
    Array.from({ length: board.analog }, (_, index) => `A${index}`).filter(
      (pin) => !(i2c && board.i2c.some((taken) => taken === pin)),
    );
  let onAds = analogue.filter((spot) => fine.has(spot.id));
  const onPins = () => analogue.filter((spot) => !onAds.includes(spot));
  const gauges = gaugedEngines(answers).length;
  const allPins = () => pinsWith(chips.length > 0 || onAds.length > 0);
  // Pressure probes take the last pins; thermistors may go to an ADS1115 for them.
  const pins = () => allPins().slice(0, Math.max(0, allPins().length - gauges));
  // For the reference pin and the buzzer's current, where that was asked for.
  const spare = answers.buzzerMilliamps === undefined ? 0 : 2;
  while (onPins().length + spare > pins().length && answers.converter === 'auto') {
    const last = onPins().findLast((spot) => spot.kind === 'ntc');
    if (!last) break;
    onAds = [...onAds, last];
  }
  if (onPins().length > pins().length || onAds.length > adsInputs.length * adsAddresses.length)
    throw doesNotFit(onPins(), pins().length, answers);
  if (chips.length > addresses.length)
    throw new PlanError(
      `${chips.length} thermocouples need an MCP9601 each (${chips.map((s) => s.id).join(', ')}) and the I2C bus has ${addresses.length} addresses for them. Leave the probes before the turbo out (beforeTurbo: false), or ${secondBoard}.`,
    );
  const connections = new Map<string, Connection>();
  for (const [index, spot] of onPins().entries())
    connections.set(spot.id, { over: 'pin', pin: pins()[index] as string });
  for (const [index, spot] of chips.entries())
    connections.set(spot.id, { over: 'mcp9601', address: addresses[index] as number });
  for (const [index, spot] of onAds.entries())
    connections.set(spot.id, {
      over: 'ads1115',
      address: adsAddresses[Math.floor(index / adsInputs.length)] as number,
      input: adsInputs[index % adsInputs.length] as string,
      supplyInput: adsSupplyInput,
    });
  const [referencePin, nextPin] = pins().slice(onPins().length);
  const buzzerCurrentPin = answers.buzzerMilliamps === undefined ? undefined : nextPin;
  return {
    gaugePins: gauges === 0 ? [] : allPins().slice(-gauges),
    connections,
    digital: {
      buzzerPin: 8,
      lampPin: 9,
      heartbeatPin: 10,
      running: answers.runningInputs
        ? Object.fromEntries(answers.engines.map(({ id }, i) => [id, firstRunningPin + i]))
        : {},
    },
    ...(referencePin === undefined ? {} : { referencePin }),
    ...(buzzerCurrentPin === undefined ? {} : { buzzerCurrentPin }),
  };
};

/** Where one board is too small for all engines. */
export const secondBoard = 'give some of the engines a board of their own (hardware-notes/two-boards.md)';

const doesNotFit = (onPins: readonly PlannedSpot[], pinCount: number, { board }: PlanAnswers): PlanError =>
  new PlanError(
    `${onPins.length} probes need an analogue pin (${onPins.map((s) => s.id).join(', ')}) and ${
      board === 'uno' ? 'an Uno' : `a ${board}`
    } has ${pinCount}. Leave one out, read the exhaust gas over I2C (amplifier: mcp9601), let thermistors go to an ADS1115 (converter: auto), or take board: mega. Or ${secondBoard}.`,
  );
