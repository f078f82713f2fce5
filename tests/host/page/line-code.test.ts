import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { dayColours, limitCode, lineCodeOf } from '../../../host/drawing/line-code.js';
import { plotSvg } from '../../../host/report/plot.js';
import { degreesIn } from '../../../host/wording/degrees.js';

const day = /:root \{([^}]*--paper[^}]*)\}/.exec(
  readFileSync(new URL('../../../host/page/style/palette.css', import.meta.url), 'utf8'),
)?.[1];

describe('one line code on the page and in the report', () => {
  it('the report prints in the colours that the page has by day', () => {
    const inPalette = (token: string) => new RegExp(`${token}: (#[0-9a-f]{6});`).exec(day ?? '')?.[1];
    const named = [
      ...Object.entries(dayColours),
      ...Object.values(limitCode).map(({ token, dayColour }) => [token, dayColour] as const),
    ];
    expect(named.map(([token]) => [token, inPalette(token)])).toEqual(named);
  });

  it('up to four engines differ by dash, without colour', () => {
    const dashes = [0, 1, 2, 3].map((engine) => lineCodeOf(engine, 'wet-elbow').dash.join());
    expect(new Set(dashes).size).toBe(4);
  });

  it('the drawing of the report has colour, dash and width of the code, and limits as on the page', () => {
    const values = [50, 51, 52];
    const envelope = {
      probe: 'p',
      everyMs: 1000,
      at: [0, 1000, 2000],
      n: [1, 1, 1],
      missing: [0, 0, 0],
      meanC: values,
      minC: values,
      maxC: values,
    };
    const svg = plotSvg(
      {
        title: 'T',
        span: { from: 0, to: 3000 },
        traces: [{ label: 'starboard', style: lineCodeOf(1, 'wet-elbow'), envelope }],
        limits: [
          { kind: 'alarm', label: 'alarm 60', atC: 60 },
          { kind: 'warning', label: 'warning 56', atC: 56 },
        ],
        shaded: [],
      },
      degreesIn('celsius'),
    );
    expect(svg).toContain('stroke="#1c6b52" stroke-width="2.5" stroke-dasharray="9 4"');
    expect(svg).toMatch(/stroke="#ad000c" stroke-width="2"\/>.*alarm 60/);
    expect(svg).toMatch(/stroke="#a35200" stroke-width="1.5" stroke-dasharray="6 4"\/>.*warning 56/);
  });
});
