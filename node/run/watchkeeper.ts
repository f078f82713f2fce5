import type { Logger } from 'pino';
import type { AlertCommand } from '../alerts/alert.js';
import { testAnnunciation } from '../annunciator/annunciation.js';
import type { Annunciator } from '../annunciator/annunciator.js';
import type { BuzzerCheck } from '../annunciator/buzzer-check.js';
import { Heartbeat, heldForMs } from '../annunciator/heartbeat.js';
import { StartTest } from '../annunciator/start-test.js';
import type { GuardState } from '../guard/guard.js';
import type { Notice } from '../guard/notice.js';
import type { CommandAnswer } from '../link/listener.js';
import type { Reporter } from '../link/reporter.js';
import type { Pass, PassResult } from '../pass/pass.js';
import type { ProofOfWork } from '../pass/proof-of-work.js';
import type { ReadingTally } from '../reading/reading-tally.js';
import type { Sensed } from '../sense/senses.js';
import type { WallTimes } from '../time/wall-times.js';

export type WatchParts = {
  readonly sense: () => Sensed;
  readonly pass: Pass;
  readonly annunciator: Annunciator;
  readonly reporter: Reporter;
  readonly tally: ReadingTally;
  readonly wall: WallTimes;
  /** What is not as the owner set it up. */
  readonly notices: () => readonly Notice[];
  readonly keep: (state: GuardState) => void;
  readonly log: Logger;
  /** Without it nothing is proven; only for tests. */
  readonly proof?: Pick<ProofOfWork, 'step'>;
  /** For how long the board has not confirmed the level of the buzzer pin, ms; undefined while it is disconnected. */
  readonly buzzerUnconfirmedMs?: () => number | undefined;
  /** Compares orders with the buzzer's current, where that is read back. */
  readonly buzzerCheck?: Pick<BuzzerCheck, 'look' | 'ordered'> | undefined;
  /** How often passes are planned, Hz. */
  readonly passHz?: number;
};

type Waiting = { readonly command: AlertCommand; readonly answer: (answer: CommandAnswer) => void };

/** The guard's memory is kept this often, and at every change of an alert. */
const keepEveryMs = 10_000;
/** The board is asked for the level of each pin about once a second; damaged answers are asked for again. */
const buzzerConfirmedWithinMs = 10_000;
const boardComesWithinMs = 15_000;
const sayTroubleEveryMs = 60_000;

const notRead = 'not every input was read';
const unseen = 'an alert that must be heard is not acknowledged: an engine unseen, or a silent buzzer';
const starts = 'an engine starts: the circuit is tried';

/** What the last pass found, for the health page. */
export type WatchReport = {
  readonly atMs: number;
  readonly complete: boolean;
  /** Why there was no heartbeat in this pass; absent when there was one. */
  readonly heartHeldBy?: string;
  readonly board: Sensed['board'];
  readonly standing: { readonly alarm: number; readonly warning: number; readonly caution: number };
};

/**
 * Keeps watch: takes what was sensed, lets the guard judge it, sounds, gives the heartbeat, and reports. The order matters:
 * sound comes before everything that could fail or take time, and the heartbeat runs only where nothing speaks against it: all
 * inputs were read, the guard remembers, the proof of work holds, the buzzer pin is as ordered and no engine runs unseen.
 */
export class Watchkeeper {
  report: WatchReport | undefined;
  private readonly parts: WatchParts;
  private readonly waiting: Waiting[] = [];
  private keptAtMs = 0;
  private testUntilMs = Number.NEGATIVE_INFINITY;
  private sounding = false;
  private startedAtMs: number | undefined;
  private boardSeen = false;
  private saidAtMs = Number.NEGATIVE_INFINITY;
  private readonly startTest = new StartTest();
  private readonly heartbeat: Heartbeat;
  private heldBy: string | undefined;
  private forgotAtMs = Number.NEGATIVE_INFINITY;

  constructor(parts: WatchParts) {
    this.parts = parts;
    this.heartbeat = new Heartbeat(parts.passHz ?? 10);
  }

  /** Answered at the next pass. */
  command(command: AlertCommand): Promise<CommandAnswer> {
    return new Promise((answer) => {
      this.waiting.push({ command, answer });
    });
  }

  /** Sounds the alarm and flashes the lamp for a while. A real alert comes first: it refuses a test, and ends one. */
  testSound(forS: number): CommandAnswer {
    if (this.sounding) return { ok: false, detail: 'An alert is sounding; that is test enough.' };
    if (this.report?.board !== 'connected')
      return { ok: false, detail: 'The board is disconnected, so nothing can sound.' };
    this.testUntilMs = this.report.atMs + forS * 1000;
    return { ok: true, detail: `The buzzer sounds and the lamp flashes for ${forS} s.` };
  }

  onePass(): void {
    const { sense, annunciator, wall, log } = this.parts;
    const stepMs = wall.look();
    if (stepMs !== undefined)
      log.warn(
        { stepMs },
        'The wall clock stepped; stored times are marked, and the guard does not look at it.',
      );
    const sensed = sense();
    this.startedAtMs ??= sensed.atMs;
    // What sounds only once must not sound while no board is connected yet; without one it is shown after a while.
    this.boardSeen ||= sensed.board === 'connected' || sensed.atMs - this.startedAtMs > boardComesWithinMs;
    const commands = this.waiting.splice(0);
    const result = this.judge(sensed, commands);
    if (result.forgotten !== undefined)
      log.error(
        { err: result.forgotten },
        'The guard could not continue from what it remembered; alerts start again from nothing.',
      );
    this.sounding = result.annunciation.soundingIds.length > 0;
    const testing = !this.sounding && sensed.atMs < this.testUntilMs;
    const high = annunciator.play(testing ? testAnnunciation : result.annunciation, sensed.atMs);
    const held = this.startTest.holds(sensed.running, sensed.atMs, this.sounding);
    const heldBy = this.heartbeat.heldBy(sensed.atMs, this.doubts(sensed, result, held));
    if (heldBy === undefined) annunciator.beat();
    this.parts.buzzerCheck?.ordered(sensed.atMs, { high, beat: heldBy === undefined });
    this.noteHeart(heldBy);

    const standing = { alarm: 0, warning: 0, caution: 0 };
    for (const alert of result.alerts) if (alert.state !== 'rectified') standing[alert.priority]++;
    this.report = {
      atMs: sensed.atMs,
      complete: sensed.complete,
      board: sensed.board,
      standing,
      ...(heldBy !== undefined && { heartHeldBy: heldBy }),
    };
    commands.forEach(({ answer }, i) => {
      answer(result.answers[i] ?? { ok: false, detail: 'The guard gave no answer.' });
    });
    try {
      this.sendReport(sensed, result);
    } catch (error) {
      // The pass is made and has sounded; what is reported of it must not end it.
      if (sensed.atMs - this.saidAtMs < sayTroubleEveryMs) return;
      this.saidAtMs = sensed.atMs;
      log.error({ err: error }, 'A pass could not be reported; the guard continues.');
    }
  }

  /** What the pass found, for log, link and disk. */
  private sendReport(sensed: Sensed, result: PassResult): void {
    const { log, tally, reporter, pass, keep } = this.parts;
    for (const { id, priority, message } of result.raised) log.warn({ alert: id, priority }, message);
    for (const reading of result.readings) tally.add(reading);
    if (result.alertsChanged || sensed.atMs - this.keptAtMs >= keepEveryMs) {
      this.keptAtMs = sensed.atMs;
      keep(pass.state);
    }
    reporter.report(sensed, result);
  }

  /** Every reason against a beat, the most important first. */
  private doubts(sensed: Sensed, result: PassResult, starting: boolean): (string | false | undefined)[] {
    const { pass, proof, buzzerUnconfirmedMs } = this.parts;
    if (result.forgotten !== undefined) this.forgotAtMs = sensed.atMs;
    const unconfirmedMs = buzzerUnconfirmedMs?.() ?? 0;
    return [
      proof?.step(),
      pass.state.atMs !== sensed.atMs && 'the guard did not judge this pass',
      sensed.atMs - this.forgotAtMs < heldForMs && 'the guard lost its memory',
      !sensed.complete && notRead,
      unconfirmedMs > buzzerConfirmedWithinMs && 'the board does not confirm the buzzer pin',
      result.annunciation.heartStops && unseen,
      starting && starts,
    ];
  }

  private noteHeart(heldBy: string | undefined): void {
    if (heldBy === this.heldBy) return;
    this.heldBy = heldBy;
    if (heldBy === undefined) return;
    // These have an alert or a board status of their own, or are meant.
    const known = heldBy === notRead || heldBy === unseen || heldBy === starts;
    this.parts.log[known ? 'info' : 'warn'](`The heartbeat is held: ${heldBy}.`);
  }

  /** No caller waits for ever, even if the pass fails. */
  private judge(sensed: Sensed, commands: readonly Waiting[]): PassResult {
    try {
      return this.parts.pass.run(
        sensed,
        commands.map(({ command }) => command),
        this.boardSeen ? this.parts.notices() : [],
        this.parts.buzzerCheck?.look(sensed.atMs, sensed.buzzerMilliamps),
      );
    } catch (error) {
      for (const { answer } of commands)
        answer({ ok: false, detail: 'The pass failed before it came to this. Try again.' });
      throw error;
    }
  }

  /** Pins low, memory kept, and every waiting caller gets an answer. */
  stop(): void {
    this.parts.annunciator.stop();
    this.parts.keep(this.parts.pass.state);
    for (const { answer } of this.waiting.splice(0)) answer({ ok: false, detail: 'The node is stopping.' });
  }
}
