import { mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import type { OutputStatus } from '../../live/output-status.js';
import type { Destination, Message } from './message.js';

type Entry = {
  readonly message: Message;
  readonly attempts: number;
  readonly firstAt: number;
  readonly nextAt: number;
  readonly lastError?: string;
};

const firstWaitMs = 10_000;
const longestWaitMs = 15 * 60_000;
/** Bounded, so that a year without network does not fill the disk; the oldest are given up first. */
const mostEntries = 500;

/** 10 s, 20 s, 40 s ... 15 min, a fifth up or down so that several boats do not come all at once. */
export const waitMs = (attempts: number, chance: number): number =>
  Math.min(longestWaitMs, firstWaitMs * 2 ** Math.min(attempts - 1, 20)) * (0.8 + 0.4 * chance);

/** `fetch failed` alone says nothing; the cause holds the reason. */
export const reasonOf = (error: unknown): string => {
  if (!(error instanceof Error)) return String(error);
  return error.cause instanceof Error ? `${error.message}: ${error.cause.message}` : error.message;
};

export type OutboxOptions = {
  /** A folder of its own for each destination. */
  readonly folder: string;
  readonly destination: Destination;
  readonly tryForMs: number;
  readonly nowMs: () => number;
  readonly chance: () => number;
  readonly log: (words: string) => void;
};

/**
 * Messages that wait for one destination, each a file, so that a restart or a power cut loses none. On a disk that is full
 * or read-only they wait in memory all the same: then a restart may lose or repeat one, and a message is never sent over and
 * over. `turn` tries the first that is due; one attempt at a time, in the order they were written.
 */
export class MessageOutbox {
  readonly #options: OutboxOptions;
  readonly #entries = new Map<string, Entry>();
  #busy: Promise<void> | undefined;
  #sent = 0;
  #failed = 0;
  #dropped = 0;
  #givenUpUnreported = 0;
  #lastError: string | undefined;

  constructor(options: OutboxOptions) {
    this.#options = options;
    mkdirSync(options.folder, { recursive: true });
    for (const name of readdirSync(options.folder).sort()) this.#recall(name);
  }

  /** On disk when it returns, where the disk takes it. */
  add(message: Message): void {
    const now = this.#options.nowMs();
    while (this.#entries.size >= mostEntries)
      this.#giveUp(this.#entries.keys().next().value as string, 'too many are waiting');
    this.#keep({ message, attempts: 0, firstAt: now, nextAt: now });
  }

  /** How many were given up since this was last asked. */
  takeGivenUp(): number {
    const count = this.#givenUpUnreported;
    this.#givenUpUnreported = 0;
    return count;
  }

  turn(): Promise<void> {
    this.#busy ??= this.#tryNext().finally(() => {
      this.#busy = undefined;
    });
    return this.#busy;
  }

  status(): OutputStatus {
    return {
      name: this.#options.destination.name,
      sent: this.#sent,
      failed: this.#failed,
      waiting: this.#entries.size,
      dropped: this.#dropped,
      ...(this.#lastError === undefined ? {} : { lastError: this.#lastError }),
    };
  }

  async #tryNext(): Promise<void> {
    const { nowMs, destination, tryForMs, chance, log } = this.#options;
    const now = nowMs();
    // A clock that was set back must not delay messages until the old time.
    const due = [...this.#entries.values()].find(
      (e) => e.nextAt <= now || e.nextAt - now > longestWaitMs * 1.3,
    );
    if (!due) return;
    const { message } = due;
    try {
      await destination.deliver(message);
      this.#sent++;
      this.#lastError = undefined;
      this.#forget(message.id);
    } catch (error) {
      this.#failed++;
      const lastError = reasonOf(error);
      this.#lastError = lastError;
      const attempts = due.attempts + 1;
      log(`${destination.name}: attempt ${attempts} at "${message.subject}" failed: ${lastError}`);
      if (nowMs() - due.firstAt >= tryForMs) this.#giveUp(message.id, lastError);
      else {
        const askedMs = 1000 * ((error as { retryAfterS?: number }).retryAfterS ?? 0);
        const wait = Math.max(waitMs(attempts, chance()), Math.min(askedMs, longestWaitMs));
        this.#keep({ ...due, attempts, nextAt: nowMs() + wait, lastError });
      }
    }
  }

  #giveUp(id: string, why: string): void {
    this.#dropped++;
    this.#givenUpUnreported++;
    const entry = this.#entries.get(id);
    this.#options.log(
      `${this.#options.destination.name}: gave up "${entry?.message.subject}" after ${entry?.attempts} attempts: ${why}`,
    );
    this.#forget(id);
  }

  #path(id: string): string {
    return join(this.#options.folder, `${id}.json`);
  }

  #keep(entry: Entry): void {
    this.#entries.set(entry.message.id, entry);
    this.#onDisk(entry.message.id, (path) => writeFileAtomic(path, JSON.stringify(entry)));
  }

  #forget(id: string): void {
    this.#entries.delete(id);
    this.#onDisk(id, (path) => rmSync(path, { force: true }));
  }

  #onDisk(id: string, change: (path: string) => void): void {
    try {
      change(this.#path(id));
    } catch (error) {
      this.#options.log(
        `${this.#options.destination.name}: message ${id} is in memory only, its file is not as it is: ${(error as Error).message}`,
      );
    }
  }

  #recall(name: string): void {
    const path = join(this.#options.folder, name);
    if (name.endsWith('.part')) rmSync(path, { force: true });
    if (!name.endsWith('.json')) return;
    try {
      const entry = JSON.parse(readFileSync(path, 'utf8')) as Entry;
      if (typeof entry.message?.id !== 'string' || `${entry.message.id}.json` !== name)
        throw new Error('not a message');
      this.#entries.set(entry.message.id, entry);
    } catch (error) {
      this.#dropped++;
      this.#givenUpUnreported++;
      this.#options.log(`${path} cannot be read and is left where it is: ${(error as Error).message}`);
    }
  }
}
