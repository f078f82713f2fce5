import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type Bath,
  type BathFinding,
  type CalibratedInput,
  type Certificate,
  compareBaths,
  progressOf,
  type Session,
  type SessionEvent,
  type SettlingRules,
  startSession,
  stepSession,
} from '../../calibration/index.js';
import { type Clock, type Kit, type ReadingRow, RoomError } from '../../node/index.js';
import { type Found, foundOf } from './found.js';
import { type Issued, issueAll } from './issue-certificates.js';
import { kitDifferenceFrom } from './resume.js';
import { sessionEventOf } from './session-event.js';
import { forgetSession, keepSession, unfinishedSession } from './session-file.js';
import { type ShownProgress, underCertificates } from './under-certificates.js';

/** What the Calibrate screen shows: the state of the session. */
export type DeskState = {
  readonly folder: string;
  readonly probes: readonly {
    readonly id: string;
    readonly name: string;
    /** Of each bath that was taken: how far off the probe was, and what is left of it. */
    readonly points: readonly Found[];
  }[];
  readonly bath?: Bath;
  /** Each reading under the certificate in force, where there is one. */
  readonly progress: readonly Omit<ShownProgress, 'signal'>[];
  readonly refusals: Session['refusals'];
  /** What the probes say together about a bath, or about one of them. */
  readonly findings: readonly BathFinding[];
  /** Why the file of an unfinished session cannot be used; a new session takes its place. */
  readonly unreadable?: string;
};

/**
 * A guided calibration between browser and node: the same reducer, the same file and the same ending as the command line,
 * fed from the live readings. What was taken is kept in the file, so that neither a closed tab nor a restart loses a bath,
 * and either continues where the other stopped.
 */
export class Desk {
  #session: Session | undefined;
  #taking: Promise<void> | undefined;
  #unreadable: string | undefined;
  readonly #folder: string;
  readonly #clock: Clock;

  constructor(folder: string, clock: Clock) {
    this.#folder = folder;
    this.#clock = clock;
  }

  async state(inForce: Readonly<Record<string, Certificate>> = {}): Promise<DeskState> {
    await this.#reread();
    const session = this.#session;
    return {
      folder: this.#folder,
      probes: Object.entries(session?.probes ?? {}).map(([id, { name }]) => ({
        id,
        name,
        points: session ? foundOf(session, id) : [],
      })),
      ...(session?.bath && { bath: session.bath }),
      progress: session
        ? underCertificates(progressOf(session), inForce).map(({ signal: _, ...shown }) => shown)
        : [],
      refusals: session?.refusals ?? [],
      findings: session ? compareBaths(session) : [],
      ...(this.#unreadable !== undefined && { unreadable: this.#unreadable }),
    };
  }

  /** Throws `ThermometryError` without a probe. */
  async start(inputs: Readonly<Record<string, CalibratedInput>>, rules?: SettlingRules): Promise<void> {
    const session = startSession(inputs, rules);
    if (this.#unreadable !== undefined) await forgetSession(this.#folder);
    this.#unreadable = undefined;
    this.#session = session;
    await this.#keep();
  }

  /** `bathOf` is given the number of the bath, which keeps its errors apart from those of an earlier one. Throws `KitChangedError`. */
  async begin(kitProbes: Kit['probes'], bathOf: (number: number) => Bath): Promise<void> {
    await this.#reread();
    this.#expectSameKit(kitProbes);
    this.#step({ kind: 'begin', bath: bathOf((this.#session?.done.length ?? 0) + 1) });
  }

  /** Readings as they come. When every probe has settled the bath is taken by itself, as on the command line. */
  receive(rows: readonly ReadingRow[]): void {
    if (!this.#session?.bath) return;
    const atS = this.#clock.monotonicMs() / 1000;
    for (const row of rows) this.#step(sessionEventOf(row, atS));
    if (progressOf(this.#session).every(({ settled }) => settled)) void this.take().catch(() => undefined);
  }

  take(): Promise<void> {
    this.#step({ kind: 'take', takenAt: new Date(this.#clock.wallMs()).toISOString() });
    this.#taking = (this.#taking ?? Promise.resolve()).then(() => this.#keep());
    return this.#taking;
  }

  /** A certificate for every probe whose points carry one; the others get the reason why not. */
  async finish(kitProbes: Kit['probes']): Promise<readonly (Issued & { found: readonly Found[] })[]> {
    await this.#reread();
    const session = this.#session;
    if (!session) return [];
    this.#expectSameKit(kitProbes);
    const issuedAt = new Date(this.#clock.wallMs()).toISOString();
    const issued = await issueAll(session, this.#folder, kitProbes, issuedAt);
    if (issued.some((one) => one.path !== undefined)) await this.leave();
    return issued.map((one) => ({ ...one, found: foundOf(session, one.probe) }));
  }

  async leave(): Promise<void> {
    this.#session = undefined;
    await forgetSession(this.#folder);
  }

  #expectSameKit(kitProbes: Kit['probes']): void {
    const differs = this.#session && kitDifferenceFrom(this.#session, kitProbes);
    if (differs === undefined) return;
    throw new KitChangedError(
      `There is an unfinished session, and ${differs}. Put the kit file back as it was, or cancel the session and take its baths again.`,
    );
  }

  #step(event: SessionEvent): void {
    if (this.#session) this.#session = stepSession(this.#session, event);
  }

  /** Between baths the file is what counts, also when the command line wrote it. */
  async #reread(): Promise<void> {
    await this.#taking;
    if (this.#session?.bath) return;
    this.#unreadable = undefined;
    this.#session = await unfinishedSession(this.#folder).catch((error: Error) => {
      this.#unreadable = error.message;
      return undefined;
    });
  }

  async #keep(): Promise<void> {
    if (!this.#session) return;
    await mkdir(this.#folder, { recursive: true });
    await keepSession(this.#folder, this.#session);
  }
}

/** The kit is another than the one a session was begun with. */
export class KitChangedError extends RoomError {
  readonly code = 'kit-changed';
  readonly errorCategory = 'usage';
}

/** Where certificates are: beside the kit file. */
export const certificateFolder = (kitFolder: string): string => join(kitFolder, 'certificates');
