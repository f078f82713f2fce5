import type { Clock } from '../../node/index.js';
import { oneByOne } from '../files/one-by-one.js';
import { problemOf, readKitText, writeKit } from './kit-file.js';

export type KitSaved = { readonly ok: true; readonly backup?: string };
/** Why the file is as it was; `code` is what HTTP calls it. */
export type KitRefused = {
  readonly ok: false;
  readonly code: 404 | 409 | 422 | 500;
  readonly error: string;
  readonly message: string;
};

type Options = {
  readonly kitPath: string;
  readonly clock: Clock;
  /** Gets the names of the old backups that were removed. */
  readonly log?: ((words: string) => void) | undefined;
};

/**
 * Serialises writes to the kit file. What is asked at once is done one after another, each reading what the one
 * before it wrote: setpoints of two probes are both kept, and so is every backup.
 */
export class KitKeeper {
  private readonly options: Options;
  private readonly inTurn = oneByOne();

  constructor(options: Options) {
    this.options = options;
  }

  get kitPath(): string {
    return this.options.kitPath;
  }

  /** Puts a whole text in the file's place, whatever lies there, if it is a good kit. */
  replace(text: string): Promise<KitSaved | KitRefused> {
    return this.inTurn(() => this.save(text));
  }

  /** Changes a good file in places; a change that answers nothing found no such probe. */
  edit(change: (text: string) => string | undefined): Promise<KitSaved | KitRefused> {
    return this.inTurn(async () => {
      const { kitPath } = this.options;
      const kit = editableKit(kitPath);
      if ('message' in kit) return { ok: false, code: 409, ...kit };
      const text = change(kit.text);
      if (text !== undefined) return this.save(text);
      return { ok: false, code: 404, error: 'no-such-probe', message: `${kitPath} has no such probe.` };
    });
  }

  private async save(text: string): Promise<KitSaved | KitRefused> {
    const { kitPath, clock, log } = this.options;
    const problem = problemOf(text, kitPath);
    if (problem !== undefined) return { ok: false, code: 422, error: 'not-a-kit', message: problem };
    try {
      const { backup, dropped } = await writeKit(kitPath, text, clock.wallMs());
      if (dropped.length) log?.(`Old backups of the kit file were removed: ${dropped.join(', ')}.`);
      return { ok: true, ...(backup !== undefined && { backup }) };
    } catch (error) {
      return {
        ok: false,
        code: 500,
        error: 'not-written',
        message: `Cannot write ${kitPath}: ${(error as Error).message}. The old file is as it was.`,
      };
    }
  }
}

/** The kit file's text where it can be changed in places; a broken one must first be corrected as a whole. */
export const editableKit = (
  kitPath: string,
): { readonly text: string } | { readonly error: 'kit-broken'; readonly message: string } => {
  let why: string | undefined;
  try {
    const { text, problem } = readKitText(kitPath);
    if (problem === undefined) return { text };
    why = problem;
  } catch (error) {
    why = `Cannot read ${kitPath}: ${(error as Error).message}.`;
  }
  return {
    error: 'kit-broken',
    message: `The kit file was not changed, because it has errors. Correct it first, on Set-up under "The kit file" or in an editor.\n${why}`,
  };
};
