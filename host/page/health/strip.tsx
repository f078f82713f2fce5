import type { OfTrip } from '../../engine-health/effectiveness.js';
import type { Health } from '../../engine-health/health.js';
import { engineClass, engineIndex } from '../link/engines.js';
import { dayText, shortDay } from '../look/moments.js';
import { useWidth } from '../look/width.js';

type Line = { readonly engine: string; readonly name: string; readonly points: readonly OfTrip[] };
type Props = { readonly health: Health; readonly label: string; readonly lines: readonly Line[] };

const height = 210;
const left = 50;
const bottom = 26;

/** A ratio by trip about 1, with bars of two standard uncertainties and posts where work was done. */
export const Strip = ({ health, label, lines }: Props) => {
  const [drawn, width] = useWidth<SVGSVGElement>(1200);
  const points = lines.flatMap((line) => line.points);
  if (!points.length) return <p class="quiet">Too few steady hours yet.</p>;
  const from = Math.min(...points.map((p) => p.at));
  const to = Math.max(...points.map((p) => p.at), from + 86_400_000);
  const low = Math.min(0.9, ...points.map((p) => p.value - 2 * p.uncertainty));
  const high = Math.max(1.1, ...points.map((p) => p.value + 2 * p.uncertainty));
  const x = (at: number) => left + 12 + ((at - from) / (to - from)) * (width - left - 50);
  const y = (value: number) => 8 + ((high - value) / (high - low)) * (height - bottom - 16);
  const step = high - low > 0.5 ? 0.2 : 0.1;
  const ratios = Array.from({ length: 20 }, (_, i) => (Math.ceil(low / step) + i) * step).filter(
    (r) => r <= high,
  );
  const gaps = Math.min(6, Math.floor((width - left) / 80));
  const days = Array.from({ length: gaps + 1 }, (_, i) => from + ((to - from) * i) / gaps);
  return (
    <svg
      ref={drawn}
      class="strip"
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`${label}: ${inWords(lines)}`}
    >
      {ratios.map((ratio) => (
        <g key={ratio}>
          <path class={Math.abs(ratio - 1) < 1e-9 ? 'one' : 'grid'} d={`M${left} ${y(ratio)}H${width}`} />
          <text x={left - 6} y={y(ratio) + 4} text-anchor="end">
            {ratio.toFixed(1)}
          </text>
        </g>
      ))}
      {days.map((day) => (
        <text key={day} x={x(day)} y={height - 6} text-anchor="middle">
          {shortDay(day)}
        </text>
      ))}
      {health.work
        .filter((work) => work.at >= from && work.at <= to)
        .map((work) => (
          <g key={work.id} class="post">
            <title>{`${dayText(work.at)}: ${work.work}`}</title>
            <path d={`M${x(work.at)} 8V${height - bottom}`} />
          </g>
        ))}
      {lines.map((line, index) => (
        <g key={line.engine} class={`points ${engineClass(line.engine)}`}>
          {line.points.map((p) => {
            const px = x(p.at) + (index - (lines.length - 1) / 2) * 7;
            return (
              <g key={p.at}>
                <title>{`${dayText(p.at)} ${line.name}: ${p.value.toFixed(3)} ± ${(2 * p.uncertainty).toFixed(3)}`}</title>
                <path d={`M${px} ${y(p.value - 2 * p.uncertainty)}V${y(p.value + 2 * p.uncertainty)}`} />
                {engineIndex(line.engine) % 2 === 1 ? (
                  <rect x={px - 4} y={y(p.value) - 4} width="8" height="8" />
                ) : (
                  <circle cx={px} cy={y(p.value)} r="4.5" />
                )}
              </g>
            );
          })}
        </g>
      ))}
    </svg>
  );
};

const inWords = (lines: readonly Line[]): string =>
  lines
    .map(({ name, points }) => {
      const first = points[0];
      const last = points.at(-1);
      return first && last
        ? `${name} from ${first.value.toFixed(2)} to ${last.value.toFixed(2)} over ${points.length} trips`
        : `${name} not known`;
    })
    .join('; ');
