import type { AlertRow } from '../../node/index.js';

/**
 * `Starboard: idle, then stop`: which engine, and the first thing to do; the same words on the page, in the subject of
 * a message, to the instruments and in the report. Empty for an alert that came without an instruction.
 */
export const instructionText = (
  alert: Pick<AlertRow, 'engine' | 'engineName' | 'instruction'>,
  engineName: string | undefined = alert.engineName ?? alert.engine,
): string => {
  const { instruction } = alert;
  if (!instruction) return '';
  if (!engineName) return instruction;
  return `${capital(engineName)}: ${instruction.charAt(0).toLowerCase()}${instruction.slice(1)}`;
};

const capital = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);
