import { NodeError } from '../errors/node-error.js';
import { checkYaml } from './check-yaml.js';
import { kitExampleFor } from './kit-examples.js';
import { readWhole } from './read-whole.js';
import { type Kit, kitSchema } from './schema.js';

/** Reads the owner's kit file. Throws `NodeError` that says what is wrong, where, and what to write instead. */
export const loadKit = (path: string): Kit => {
  let text: string;
  try {
    text = readWhole(path);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT')
      throw new NodeError(
        'kit-not-found',
        `No kit file at ${path}. Name yours with --kit FILE; elbowroom plan writes a first one.`,
        { cause },
      );
    throw new NodeError('kit-unreadable', `Cannot read ${path}: ${(cause as Error).message}.`, { cause });
  }
  if (text.includes('\0'))
    throw new NodeError(
      'kit-unreadable',
      `${path} is not a text file. Name your kit file with --kit FILE; elbowroom plan writes a first one.`,
    );
  return parseKit(text, path);
};

/** The kit in a YAML text; `file` is what messages call it, `next` what they say to do once it is corrected. */
export const parseKit = (
  text: string,
  file: string,
  next = 'Correct the file, then run: elbowroom wiring',
): Kit => checkYaml(text, kitSchema, { file, exampleFor: kitExampleFor, next });
