import { UsageError } from '../exit.js';

/** Throws unless exactly one of the named options is given. */
export function exactlyOne(options: Readonly<Record<string, unknown>>, names: readonly string[]): void {
  const given = names.filter((name) => options[name] !== undefined);
  if (given.length === 1) return;
  const choice = names.map((name) => `--${name}`).join(' or ');
  throw new UsageError(given.length === 0 ? `Give ${choice}.` : `Give only one of ${choice}.`);
}
