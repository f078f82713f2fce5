import type { Alert } from '../alerts/alert.js';
import type { BoardLink } from '../board/board-link.js';
import type { Converter } from '../convert/converter.js';
import type { GuardSettings } from '../guard/settings.js';
import type { Kit } from '../kit/schema.js';
import type { PassResult } from '../pass/pass.js';
import type { ProbeId, Reading } from '../reading/reading.js';
import type { ReadingTally } from '../reading/reading-tally.js';
import type { Sensed } from '../sense/senses.js';
import type { Clock, MonotonicMs } from '../time/clock.js';
import type { WallTimes } from '../time/wall-times.js';
import { engineCards } from './engine-cards.js';
import { Episodes } from './episode.js';
import type { LinkServer } from './link-server.js';
import { alertRow, probeCards, readingRow } from './rows.js';
import { SecondMeans } from './second-means.js';

export type ReporterParts = {
  readonly kit: Kit;
  readonly settings: GuardSettings;
  readonly converters: ReadonlyMap<ProbeId, Converter>;
  readonly link: LinkServer;
  readonly wall: WallTimes;
  readonly board: Pick<BoardLink, 'status' | 'counters'>;
  readonly tally: ReadingTally;
  /** Reports the boat as invented whatever the kit says: no kit file can make a bench look like a real boat. */
  readonly invented?: boolean;
  readonly clock: Clock;
};

const secondMs = 1_000;
const statusAtLeastEveryMs = 5_000;

/** Decides what the link sends and when: readings once a second, alerts at once, status when it changes and every 5 s. */
export class Reporter {
  private parts: ReporterParts;
  private means: SecondMeans;
  private readonly episodes = new Episodes();
  private second: Reading[] = [];
  private secondEndsAtMs: number;
  private alerts: readonly Alert[] = [];
  private running: Sensed['running'] = {};
  private passes = 0;
  private statusWords = '';
  private statusAtMs = 0;

  constructor(parts: ReporterParts) {
    this.parts = parts;
    this.means = new SecondMeans(parts.converters);
    this.secondEndsAtMs = parts.clock.monotonicMs() + secondMs;
  }

  report(sensed: Sensed, { readings, alerts, alertsChanged, raised }: PassResult): void {
    this.passes++;
    this.running = sensed.running;
    this.alerts = alerts;
    for (const reading of readings) this.means.add(reading);
    this.second.push(...readings.filter((reading) => reading.result.kind === 'measured'));
    if (alertsChanged) this.reportAlerts();
    if (sensed.atMs >= this.secondEndsAtMs) this.reportSecond(sensed.atMs);
    if (raised.some((alert) => alert.priority !== 'caution'))
      for (const chunk of this.episodes.begin(sensed.atMs)) this.reportReadings('episode', chunk);
    const words = this.statusNow();
    if (words !== this.statusWords || sensed.atMs - this.statusAtMs >= statusAtLeastEveryMs)
      this.reportStatus(sensed.atMs);
  }

  /** The kit was read again: from now on by its new names, limits and curves. */
  retune(kit: Kit, settings: GuardSettings, converters: ReadonlyMap<ProbeId, Converter>): void {
    this.parts = { ...this.parts, kit, settings, converters };
    this.means = new SecondMeans(converters);
    this.reportAll();
  }

  /** For a listener that has just connected. */
  reportAll(): void {
    const { kit, settings, link, clock } = this.parts;
    const { name, invented } = kit.boat;
    link.publish({
      kind: 'hello',
      boat: name,
      invented: invented || this.parts.invented === true,
      engines: engineCards(kit),
      probes: probeCards(kit, settings),
    });
    this.reportAlerts();
    this.reportStatus(clock.monotonicMs());
  }

  private reportSecond(nowMs: MonotonicMs): void {
    this.secondEndsAtMs += secondMs;
    if (this.secondEndsAtMs <= nowMs) this.secondEndsAtMs = nowMs + secondMs;
    this.reportReadings('second', this.means.take(nowMs));
    const episode = this.episodes.add(this.second, nowMs);
    this.second = [];
    if (episode) this.reportReadings('episode', episode);
  }

  private reportReadings(rate: 'second' | 'episode', readings: readonly Reading[]): void {
    const { link, wall } = this.parts;
    link.publish({
      kind: 'readings',
      rate,
      rows: readings.map((reading) => readingRow(reading, (at) => wall.at(at))),
    });
  }

  private reportAlerts(): void {
    const { link, wall, clock } = this.parts;
    link.publish({
      kind: 'alerts',
      at: wall.at(clock.monotonicMs()),
      alerts: this.alerts.map((alert) => alertRow(alert, (at) => wall.at(at))),
    });
  }

  private reportStatus(nowMs: MonotonicMs): void {
    const { board, link, tally, wall } = this.parts;
    const { state, detail } = board.status();
    const { refused, connects } = board.counters();
    this.statusWords = this.statusNow();
    this.statusAtMs = nowMs;
    link.publish({
      kind: 'status',
      at: wall.at(nowMs),
      board: state,
      boardDetail: detail,
      running: this.running,
      counters: {
        framesLost: link.framesLost,
        boardRefused: refused,
        boardReconnects: Math.max(0, connects - 1),
        passes: this.passes,
        readings: tally.all(),
      },
    });
  }

  /** What makes a status be sent before its time. */
  private statusNow(): string {
    const { state, detail } = this.parts.board.status();
    return `${state} ${detail} ${JSON.stringify(this.running)}`;
  }
}
