import { describe, expect, it } from 'vitest';
import { plain } from '../../../host/drawing/line-code.js';
import { plotSvg } from '../../../host/report/plot.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { startAt } from '../store/made-readings.js';

describe('the plot', () => {
  const envelope = (meanC: (number | undefined)[]) => ({
    probe: 'p',
    everyMs: 1000,
    at: meanC.map((_, i) => startAt + i * 1000),
    n: meanC.map((v) => (v === undefined ? 0 : 1)),
    missing: meanC.map(() => 0),
    meanC,
    minC: meanC,
    maxC: meanC,
  });
  const plot = (meanC: (number | undefined)[]) =>
    plotSvg(
      {
        title: 'T',
        span: { from: startAt, to: startAt + meanC.length * 1000 },
        traces: [{ label: 'p', style: plain, envelope: envelope(meanC) }],
        limits: [{ kind: 'alarm', label: 'far', atC: 500 }],
        shaded: [],
      },
      degreesIn('celsius'),
    );
  const linesOf = (svg: string) => /<path d="([^"]*)" fill="none"/.exec(svg)?.[1] ?? '';

  it('draws nothing where nothing was read: a gap splits the line in two', () => {
    expect(linesOf(plot([50, 51, undefined, 53, 54])).match(/M/g)?.length).toBe(2);
    expect(linesOf(plot([50, 51, 52, 53, 54])).match(/M/g)?.length).toBe(1);
  });

  it('leaves out a limit that would press the readings flat', () => {
    expect(plot([50, 51, 52])).not.toContain('>far<');
  });

  it('says so when there is nothing to draw', () => {
    expect(plot([undefined, undefined])).toContain('no readings in this span');
  });

  it('survives a value that never changes', () => {
    expect(plot([50, 50, 50])).not.toMatch(/NaN|Infinity/);
  });
});
