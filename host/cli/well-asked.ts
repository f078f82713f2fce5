/** What yargs knows of the options that were declared; `getOptions()` gives it. */
type Declared = {
  readonly key: Readonly<Record<string, unknown>>;
  readonly array: readonly string[];
  readonly number: readonly string[];
  readonly narg: Readonly<Record<string, number>>;
};

/**
 * For yargs' `check`, after it has parsed: an option that takes one value has one, of its kind. Without this a command
 * would meet a list or NaN where its types promise otherwise.
 */
export const wellAsked = (options: Readonly<Record<string, unknown>>, declared: Declared): true => {
  for (const name of Object.keys(declared.key)) {
    const value = options[name];
    const many = declared.array.includes(name) || (declared.narg[name] ?? 1) > 1;
    if (Array.isArray(value) && !many)
      throw new Error(`--${name} is given ${value.length} times; it takes one value.`);
    if (declared.number.includes(name) && Number.isNaN(value)) throw new Error(`--${name} must be a number.`);
  }
  return true;
};
