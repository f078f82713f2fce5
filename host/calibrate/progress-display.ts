import { type Degrees, pointText, readable, signedSpanText } from '../wording/degrees.js';
import type { ShownProgress } from './under-certificates.js';

const barLength = 20;

/** One probe in one line: `port-elbow  [########------------]   99.62 C  +0.31 C/min  settling`. */
export function progressLine(p: ShownProgress, nameLength: number, degrees: Degrees): string {
  const filled = Math.round(barLength * (p.settled ? 1 : Math.min(0.95, p.progress)));
  const bar = `[${'#'.repeat(filled)}${'-'.repeat(barLength - filled)}]`;
  const name = p.probe.padEnd(nameLength);
  const missing = p.missing === undefined ? undefined : readable(degrees, p.missing);
  if (p.readC === undefined)
    return `${name}  ${bar}  ${missing === undefined ? 'waiting for readings' : `waiting: ${missing}`}`;
  const trend = `${signedSpanText(degrees, p.trendCPerMin)}/min`;
  const notes = [
    missing ?? (p.settled ? 'settled' : 'settling'),
    ...(p.under === undefined ? [] : [`under ${p.under}`]),
    ...(p.outliers > 0 ? [`${p.outliers} outliers set aside`] : []),
    ...(p.restarts > 0 ? [`${p.restarts} restarts`] : []),
  ];
  return `${name}  ${bar}  ${pointText(degrees, p.readC, 2).padStart(9)}  ${trend.padStart(12)}  ${notes.join(', ')}`;
}

/** Draws progress in place on a terminal, or as a few plain lines every five seconds elsewhere. */
export class ProgressDisplay {
  private readonly out: NodeJS.WriteStream;
  private readonly inPlace: boolean;
  private readonly degrees: Degrees;
  private drawn = 0;
  private calls = 0;

  constructor(out: NodeJS.WriteStream, degrees: Degrees) {
    this.out = out;
    this.degrees = degrees;
    this.inPlace = out.isTTY && process.env.TERM !== 'dumb';
  }

  show(progress: readonly ShownProgress[], trouble: string | undefined): void {
    if (!this.inPlace && this.calls++ % 5 !== 0) return;
    const nameLength = Math.max(...progress.map((p) => p.probe.length));
    const lines = progress.map((p) => progressLine(p, nameLength, this.degrees));
    if (trouble) lines.push(`Waiting: ${trouble}.`);
    if (this.inPlace && this.drawn > 0) this.out.write(`\x1b[${this.drawn}A\x1b[J`);
    this.out.write(`${lines.join('\n')}\n`);
    this.drawn = lines.length;
  }

  /** What follows is written below. */
  done(): void {
    this.drawn = 0;
    this.calls = 0;
  }
}
