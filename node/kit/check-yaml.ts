import { LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';
import { NodeError } from '../errors/node-error.js';
import { positionOf } from './yaml-position.js';
import { describeTrouble, type YamlTrouble } from './yaml-trouble.js';

export type YamlWords = {
  /** What messages call the file. */
  readonly file: string;
  /** A correct example line for a place such as `probes.0.channel`, where there is one. */
  readonly exampleFor?: (where: string) => string | undefined;
  /** What to do once the file is corrected. */
  readonly next?: string;
};

/** At most this many faults are reported at once: after that, one mistake has usually caused the rest. */
const mostTroubles = 12;

/**
 * A settings file as its schema describes it. Throws `NodeError` `settings-wrong` that names every trouble with
 * line, column, what was found, what was expected and, where known, an example.
 */
export const checkYaml = <Schema extends z.ZodType>(
  text: string,
  schema: Schema,
  words: YamlWords,
): z.output<Schema> => {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, version: '1.2' });
  if (document.errors.length > 0)
    throw settingsWrong(
      words,
      // A tab confuses the parser: its later complaints are about the tab.
      document.errors.slice(0, /^[ ]*\t/m.test(text) ? 1 : undefined).map((error) => ({
        ...lines.linePos(error.pos[0]),
        where: '',
        met: '',
        rule: `this is not YAML: ${error.message.split('\n')[0]}`,
      })),
    );

  const parsed = schema.safeParse(document.toJS({ maxAliasCount: 50 }));
  if (parsed.success) return parsed.data;
  throw settingsWrong(
    words,
    parsed.error.issues.flatMap((issue) =>
      describeTrouble(issue, {
        schema,
        valueAt: (path) => document.getIn(path, true),
        at: (path, key) => lines.linePos(positionOf(document.contents, path, key)),
      }),
    ),
  );
};

const settingsWrong = (words: YamlWords, troubles: readonly YamlTrouble[]): NodeError =>
  new NodeError(
    'settings-wrong',
    [
      `${words.file} cannot be used as it is:`,
      ...troubles.slice(0, mostTroubles).map((trouble) => inWords(trouble, words)),
      ...(troubles.length > mostTroubles ? [`  and ${troubles.length - mostTroubles} more.`] : []),
      ...(words.next ? [words.next] : []),
    ].join('\n'),
  );

const inWords = ({ line, col, where, met, expected, rule }: YamlTrouble, words: YamlWords): string => {
  const what = rule ?? [met, `expected ${expected}`].filter(Boolean).join('; ');
  const example = words.exampleFor?.(where);
  return [
    `  line ${line}, column ${col}: ${where ? `${where}: ` : ''}${what.replace(/\.$/, '')}.`,
    ...(example ? [`    For example:  ${example}`] : []),
  ].join('\n');
};
