import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type Bath,
  type CalibratedInput,
  certificateName,
  certificatePicture,
  certificateText,
  issueCertificate,
  type ProbeProgress,
  progressOf,
  type Session,
  type SessionEvent,
  type SettlingRules,
  startSession,
  stepSession,
} from '../../calibration/index.js';
import type { Clock, ReadingRow } from '../../node/index.js';
import { nextIssue, writeCertificate } from './certificate-files.js';
import { forgetSession, keepSession, unfinishedSession } from './session-file.js';

/** What the Calibrate screen shows: the session as it stands. */
export type DeskState = {
  readonly folder: string;
  readonly probes: readonly {
    readonly id: string;
    readonly name: string;
    readonly points: readonly string[];
  }[];
  readonly bath?: Bath;
  readonly progress: readonly ProbeProgress[];
  readonly refusals: Session['refusals'];
};

export type Issued = {
  readonly probe: string;
  readonly name?: string;
  readonly path?: string;
  readonly refused?: string;
};

/**
 * A guided calibration between browser and node: the same reducer as the command line, fed from the live readings.
 * What was taken is kept in a file, so that neither a closed tab nor a restart loses a bath.
 */
export class Desk {
  #session: Session | undefined;
  readonly #folder: string;
  /** Apart from the command's, so that neither goes on with the other's baths. */
  readonly #sessionFolder: string;
  readonly #clock: Clock;

  private constructor(folder: string, clock: Clock, session: Session | undefined) {
    this.#folder = folder;
    this.#sessionFolder = join(folder, 'on-the-page');
    this.#clock = clock;
    this.#session = session;
  }

  /** Goes on with an unfinished session of the folder, when there is one that can be read. */
  static async open(folder: string, clock: Clock): Promise<Desk> {
    const left = await unfinishedSession(join(folder, 'on-the-page')).catch(() => undefined);
    return new Desk(folder, clock, left?.session);
  }

  state(): DeskState {
    const session = this.#session;
    return {
      folder: this.#folder,
      probes: Object.entries(session?.probes ?? {}).map(([id, { name }]) => ({
        id,
        name,
        points: (session?.points[id] ?? []).map((point) => point.kind),
      })),
      ...(session?.bath && { bath: session.bath }),
      progress: session ? progressOf(session) : [],
      refusals: session?.refusals ?? [],
    };
  }

  /** Throws `ThermometryError` without a probe. */
  async start(inputs: Readonly<Record<string, CalibratedInput>>, rules?: SettlingRules): Promise<void> {
    this.#session = startSession(inputs, rules);
    await this.#keep();
  }

  begin(bath: Bath): void {
    this.#step({ kind: 'begin', bath });
  }

  hear(rows: readonly ReadingRow[]): void {
    if (!this.#session?.bath) return;
    const atS = this.#clock.monotonicMs() / 1000;
    for (const { probe, quality, raw, rawUnit, coldJunctionC } of rows) {
      if (quality !== 'good' || raw === undefined || rawUnit === undefined) {
        this.#step({ kind: 'missing', probe, why: quality === 'good' ? 'no raw signal' : quality });
        continue;
      }
      const signal = { raw, rawUnit, ...(coldJunctionC !== undefined && { coldJunctionC }) };
      this.#step({ kind: 'reading', probe, atS, signal });
    }
  }

  async take(): Promise<void> {
    this.#step({ kind: 'take', takenAt: new Date(this.#clock.wallMs()).toISOString() });
    await this.#keep();
  }

  /** A certificate for every probe whose points carry one; the others are told why not. */
  async finish(): Promise<readonly Issued[]> {
    const session = this.#session;
    if (!session) return [];
    const issued: Issued[] = [];
    for (const [id, { name, sensor, chain }] of Object.entries(session.probes)) {
      try {
        const certificate = issueCertificate({
          probe: { id, name },
          issue: await nextIssue(this.#folder, id),
          issuedAt: new Date(this.#clock.wallMs()).toISOString(),
          sensor,
          chain,
          points: session.points[id] ?? [],
        });
        const beside = { txt: certificateText(certificate), svg: certificatePicture(certificate) };
        const path = await writeCertificate(this.#folder, certificate, beside);
        issued.push({ probe: id, name: certificateName(certificate), path });
      } catch (error) {
        issued.push({ probe: id, refused: error instanceof Error ? error.message : String(error) });
      }
    }
    if (issued.some((one) => one.path !== undefined)) await this.leave();
    return issued;
  }

  async leave(): Promise<void> {
    this.#session = undefined;
    await forgetSession(this.#sessionFolder);
  }

  #step(event: SessionEvent): void {
    if (this.#session) this.#session = stepSession(this.#session, event);
  }

  async #keep(): Promise<void> {
    if (!this.#session) return;
    await mkdir(this.#sessionFolder, { recursive: true });
    await keepSession(this.#sessionFolder, { saved: 1, baths: [], done: 0, session: this.#session });
  }
}

/** Where certificates lie: beside the kit file. */
export const certificateFolder = (kitFolder: string): string => join(kitFolder, 'certificates');
