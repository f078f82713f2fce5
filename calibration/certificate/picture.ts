import { type Certificate, certificateName } from './certificate.js';

const width = 720;
const height = 420;
const frame = { left: 64, right: 24, top: 56, bottom: 56 } as const;

/** The uncertainty over temperature as an SVG: the band that holds the truth 95 times in 100, with the points in it. */
export function certificatePicture(certificate: Certificate): string {
  const { uncertainty, points, residualsC, validC, probe } = certificate;
  const most = niceAbove(
    Math.max(...uncertainty.map((s) => s.expandedUncertaintyC), ...residualsC.map(Math.abs)),
  );
  const x = (c: number): number =>
    frame.left + ((c - validC.from) / (validC.to - validC.from)) * (width - frame.left - frame.right);
  const y = (c: number): number =>
    frame.top + ((most - c) / (2 * most)) * (height - frame.top - frame.bottom);
  const upper = uncertainty.map((s) => `${at(x(s.temperatureC))},${at(y(s.expandedUncertaintyC))}`);
  const lower = uncertainty
    .map((s) => `${at(x(s.temperatureC))},${at(y(-s.expandedUncertaintyC))}`)
    .reverse();
  const xStep = niceAbove((validC.to - validC.from) / 8);
  const xTicks = ticks(Math.ceil(validC.from / xStep) * xStep, validC.to, xStep);
  const yTicks = ticks(-most, most, most / 2);
  // Labels closer than 40 pixels would run into each other.
  const apart = certificate.budgets.filter(
    (b, i, all) => i === 0 || x(b.temperatureC) - x(all[i - 1]?.temperatureC ?? 0) >= 40,
  );
  const named = apart.map(({ temperatureC }) => {
    const step = uncertainty.reduce((a, b) =>
      Math.abs(b.temperatureC - temperatureC) < Math.abs(a.temperatureC - temperatureC) ? b : a,
    );
    return `<text x="${at(x(temperatureC))}" y="${at(y(step.expandedUncertaintyC) - 8)}" text-anchor="middle" class="v">±${step.expandedUncertaintyC.toFixed(2)}</text>`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img" aria-label="${escaped(`Uncertainty of ${probe.name} over temperature`)}">
<style>text{font:13px system-ui,sans-serif;fill:#1d2b33}.t{font-size:17px;font-weight:600}.s{fill:#566670}.v{font-size:12px;fill:#0b5563}.g{stroke:#d5dde1}.b{fill:#bfe0e3;stroke:#0b6b78}.p{fill:#b3261e}.e{stroke:#b3261e;stroke-width:2}</style>
<rect width="${width}" height="${height}" fill="#fff"/>
<text x="${frame.left}" y="24" class="t">${escaped(probe.name)}, certificate ${escaped(certificateName(certificate))}</text>
<text x="${frame.left}" y="43" class="s">Band: one reading holds the truth 95 times in 100. Dots: the points of ${certificate.issuedAt.slice(0, 10)}.</text>
${yTicks.map((c) => `<line class="g" x1="${frame.left}" x2="${width - frame.right}" y1="${at(y(c))}" y2="${at(y(c))}"/><text x="${frame.left - 8}" y="${at(y(c) + 4)}" text-anchor="end">${c > 0 ? '+' : ''}${Number(c.toPrecision(3))}</text>`).join('\n')}
${xTicks.map((c) => `<line class="g" x1="${at(x(c))}" x2="${at(x(c))}" y1="${frame.top}" y2="${height - frame.bottom}"/><text x="${at(x(c))}" y="${height - frame.bottom + 18}" text-anchor="middle">${Number(c.toPrecision(4))}</text>`).join('\n')}
<polygon class="b" points="${[...upper, ...lower].join(' ')}"/>
${points.map((p, i) => pointMark(x(p.temperatureC), y(residualsC[i] ?? 0), Math.abs(y(0) - y(2 * Math.hypot(...p.errors.map((e) => e.standardUncertaintyC)))))).join('\n')}
${named.join('\n')}
<text x="${(frame.left + width - frame.right) / 2}" y="${height - 12}" text-anchor="middle">temperature, °C</text>
<text transform="translate(16 ${(frame.top + height - frame.bottom) / 2}) rotate(-90)" text-anchor="middle">error, °C</text>
</svg>
`;
}

const pointMark = (px: number, py: number, half: number): string =>
  `<line class="e" x1="${at(px)}" x2="${at(px)}" y1="${at(py - half)}" y2="${at(py + half)}"/><circle class="p" cx="${at(px)}" cy="${at(py)}" r="4"/>`;

const at = (pixels: number): string => pixels.toFixed(1);

function ticks(from: number, to: number, step: number): readonly number[] {
  return Array.from({ length: Math.floor((to - from) / step + 1e-9) + 1 }, (_, i) => from + i * step);
}

/** The next of 1, 2, 5, 10, 20, ... above a value. */
function niceAbove(value: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(value, 1e-6)));
  return ([1, 2, 5, 10].find((n) => n * power >= value * 1.05) ?? 20) * power;
}

const escaped = (text: string): string =>
  text.replace(/[<>&"]/g, (c) => ({ '<': '&lt;', '>': '&gt;', '&': '&amp;', '"': '&quot;' })[c] ?? c);
