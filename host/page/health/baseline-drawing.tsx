import type { EngineHealth } from '../../engine-health/health.js';
import { valueTicks } from '../chart/ticks.js';
import { engineClass } from '../link/engines.js';
import { fromReader, spanDegrees, spanFromReader, toReader, unitSign } from '../look/degrees.js';
import { useWidth } from '../look/width.js';

const height = 260;
const left = 46;
const bottom = 34;

/** `all` engines share one pair of scales, so that they can be compared by eye. */
type Props = { readonly health: EngineHealth; readonly all: readonly EngineHealth[] };

/** Rise over the sea against exhaust gas: the baseline with its band, what it was learned on, and the last trip over it. */
export const BaselineDrawing = ({ health, all }: Props) => {
  const [drawn, width] = useWidth<SVGSVGElement>(560);
  const { engine, baseline, learnedOn, lastTrip } = health;
  if (learnedOn.length + lastTrip.length === 0) return null;
  const points = all.flatMap((one) => [...one.learnedOn, ...one.lastTrip]);
  const gasFrom = Math.floor(Math.min(...points.map((p) => p.gasC)) / 25) * 25 - 25;
  const gasTo = Math.ceil(Math.max(...points.map((p) => p.gasC)) / 25) * 25 + 25;
  const riseTo = Math.ceil((Math.max(...points.map((p) => p.riseC)) * 1.2) / 5) * 5;
  const x = (gasC: number) => left + ((gasC - gasFrom) / (gasTo - gasFrom)) * (width - left - 26);
  const y = (riseC: number) => height - bottom - (riseC / riseTo) * (height - bottom - 8);
  // Round in the reader's unit, and no more than a narrow screen has room for.
  const most = Math.max(1, Math.min(6, Math.floor((width - left - 26) / 50)));
  const gasTicks = valueTicks(toReader(gasFrom), toReader(gasTo), most);
  const riseTicks = valueTicks(0, Number(spanDegrees(riseTo)), 6);
  const curve = (off: number) => {
    if (!baseline) return [];
    const { a, b, c, fromGasC, toGasC } = baseline;
    return Array.from({ length: 25 }, (_, i) => {
      const gas = fromGasC + ((toGasC - fromGasC) * i) / 24;
      const t = (gas - 300) / 100;
      return `${x(gas).toFixed(1)},${y(a + b * t + c * t * t + off).toFixed(1)}`;
    });
  };
  const band = 2 * (baseline?.residualK ?? 0);
  return (
    <svg
      ref={drawn}
      class={`baseline ${engineClass(engine.id)}`}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`Rise of the elbow of ${engine.name} over the sea against its exhaust gas: ${learnedOn.length} learned points, ${lastTrip.length} of the last trip`}
    >
      {gasTicks.map((gas) => (
        <g key={gas}>
          <path class="grid" d={`M${x(fromReader(gas))} 8V${height - bottom}`} />
          <text x={x(fromReader(gas))} y={height - bottom + 18} text-anchor="middle">
            {gas}
          </text>
        </g>
      ))}
      {riseTicks.map((rise) => (
        <g key={rise}>
          <path class="grid" d={`M${left} ${y(spanFromReader(rise))}H${width - 8}`} />
          <text x={left - 6} y={y(spanFromReader(rise)) + 4} text-anchor="end">
            {rise}
          </text>
        </g>
      ))}
      <text x={width - 8} y={height - 2} text-anchor="end">
        exhaust gas {unitSign()}
      </text>
      <text x={left + 8} y={22}>
        {width < 240 ? 'rise' : 'rise over the sea'} {unitSign()}
      </text>
      {baseline && <polygon class="band" points={[...curve(band), ...curve(-band).reverse()].join(' ')} />}
      {baseline && <polyline class="curve" points={curve(0).join(' ')} />}
      {learnedOn.map((p) => (
        <circle key={p.at} class="learned" cx={x(p.gasC)} cy={y(p.riseC)} r="2" />
      ))}
      {lastTrip.map((p) => (
        <path key={p.at} class="last" d={`M${x(p.gasC) - 4} ${y(p.riseC)}h8m-4 -4v8`} />
      ))}
    </svg>
  );
};
