import { scales } from '../wording/degrees.js';

/** Taken by every command: what a person reads at the terminal. `chosenDegrees` says what it comes to. */
export const degreesOption = {
  choices: scales,
  global: true,
  requiresArg: true,
  describe: 'Unit shown by this command; elbowroom degrees sets it for all. Files and --json stay Celsius',
} as const;
