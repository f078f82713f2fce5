import { hourMs } from '../codec/block.js';
import type { Names, Series } from '../tables/names.js';
import type { File } from '../tables/open-file.js';
import type { Readings } from '../tables/readings.js';

/** How long after its end an hour is left open for late rows. */
const graceMs = 10 * 60_000;

/**
 * Moves hours from `recent` into blocks, one series a step, so that no step is long. The rows leave `recent`
 * only when every series of the hour is in its block; until then both hold them and readers merge.
 */
export class Sealing {
  private hour: number | undefined;
  private left: Series[] = [];
  private readonly file: File;
  private readonly readings: Readings;
  private readonly names: Names;

  constructor(file: File, readings: Readings, names: Names) {
    this.file = file;
    this.readings = readings;
    this.names = names;
  }

  /** One step; false when there is nothing to seal. */
  step(wallMs: number): boolean {
    const hour = this.hour ?? this.nextHour(wallMs);
    if (hour === undefined) return false;
    const series = this.left.shift();
    this.file.transaction(() => {
      if (series) this.readings.sealHour(series, this.readings.recentHour(series, hour));
      else this.file.prepare('DELETE FROM recent WHERE time >= ? AND time < ?').run(...spanOf(hour));
    })();
    this.hour = series ? hour : undefined;
    return true;
  }

  /** A row came into the hour that is being sealed: its series must go round once more before rows are deleted. */
  rowCame(series: Series, at: number): void {
    if (this.hour === Math.floor(at / hourMs) && !this.left.some((s) => s.id === series.id))
      this.left.push(series);
  }

  /** After a failure: start the hour again. Sealing a sealed hour changes nothing. */
  restart(): void {
    this.hour = undefined;
    this.left = [];
  }

  private nextHour(wallMs: number): number | undefined {
    const oldest = this.file.prepare('SELECT min(time) FROM recent').pluck().get() as number | null;
    if (oldest === null) return undefined;
    const hour = Math.floor(oldest / hourMs);
    if ((hour + 1) * hourMs + graceMs > wallMs) return undefined;
    const present = new Set(
      this.file
        .prepare('SELECT DISTINCT series FROM recent WHERE time >= ? AND time < ?')
        .pluck()
        .all(...spanOf(hour)),
    );
    this.hour = hour;
    this.left = this.names.allSeries().filter((series) => present.has(series.id));
    return hour;
  }
}

const spanOf = (hour: number): [number, number] => [hour * hourMs, (hour + 1) * hourMs];
