import { once } from 'node:events';
import type { Readable, Writable } from 'node:stream';
import { UsageError } from '../exit.js';

/** How much output waits before it is written; large enough that a system call costs little per line. */
const flushAtCharacters = 64 * 1024;

/**
 * Turns every line of `input` into one line of `output`, in order, at stream speed. The number of the line (from 1) goes
 * to `lineOf`, so that its errors can name it; lines before a bad one are written before the error is thrown.
 */
export async function mapLines(
  input: Readable,
  output: Writable,
  lineOf: (line: string, number: number) => string,
): Promise<void> {
  let rest = '';
  let waiting = '';
  let number = 0;
  const flush = async (): Promise<void> => {
    const text = waiting;
    waiting = '';
    if (text !== '' && !output.write(text)) await once(output, 'drain');
  };
  const take = (line: string): void => {
    number++;
    const answer = lineOf(line.endsWith('\r') ? line.slice(0, -1) : line, number);
    if (answer !== '') waiting += `${answer}\n`;
  };
  try {
    input.setEncoding('utf8');
    for await (const chunk of input) {
      const lines = (rest + String(chunk)).split('\n');
      rest = lines.pop() ?? '';
      if (rest.length > 1e6) throw new UsageError(`line ${number + 1} is longer than a million characters.`);
      for (const line of lines) {
        take(line);
        if (waiting.length > flushAtCharacters) await flush();
      }
      // A live source must not wait for the next kilobyte.
      await flush();
    }
    if (rest !== '') take(rest);
  } finally {
    await flush();
  }
}
