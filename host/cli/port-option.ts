/** For yargs' `check`: an option that names a TCP port holds one; 0 takes a free one. */
export const isPort =
  (name: string) =>
  (options: Readonly<Record<string, unknown>>): true => {
    const port = options[name];
    if (Number.isInteger(port) && Number(port) >= 0 && Number(port) <= 65_535) return true;
    throw new Error(`--${name} must be a port from 1 to 65535, for example 8470.`);
  };
