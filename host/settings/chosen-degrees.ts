import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { type Degrees, degreesIn, type Scale, scales } from '../wording/degrees.js';
import { SettingsError, settingsPath } from './settings-file.js';

/** Where a store is unless an option says otherwise. */
export const usualDataDir = 'elbowroom-data/host';

const asScale = (word: unknown): Scale | undefined => scales.find((scale) => scale === word);

/** What host.yaml says, or nothing: a broken file is the host's business and must not keep a person from reading. */
const keptScale = (dataDir: string): Scale | undefined => {
  try {
    return asScale(parse(readFileSync(settingsPath(dataDir), 'utf8'))?.degrees);
  } catch {
    return undefined;
  }
};

const scaleOfShell = (word: string | undefined): Scale | undefined => {
  if (word === undefined || word === '') return undefined;
  const scale = asScale(word.toLowerCase());
  if (scale) return scale;
  throw new SettingsError(`ELBOWROOM_DEGREES is "${word}". Set it to celsius or fahrenheit, or unset it.`);
};

/**
 * The degrees a person reads at the terminal: `--degrees` for once, ELBOWROOM_DEGREES for a shell, `degrees` in host.yaml
 * for the boat, Celsius otherwise. `options` are those of any command; one without a data folder looks at the usual one.
 * Throws SettingsError for another word in the environment.
 */
export const chosenDegrees = (
  options: { readonly degrees?: unknown; readonly dataDir?: unknown },
  environment: Readonly<Record<string, string | undefined>> = process.env,
): Degrees =>
  degreesIn(
    asScale(options.degrees) ??
      scaleOfShell(environment.ELBOWROOM_DEGREES) ??
      keptScale(typeof options.dataDir === 'string' ? options.dataDir : usualDataDir) ??
      'celsius',
  );
