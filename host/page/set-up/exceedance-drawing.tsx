import type { Exceedance } from '../../replay/exceedance.js';
import type { ProbeNow } from '../../serve/now.js';
import { valueTicks } from '../chart/ticks.js';
import { degrees, fromReader, toReader, unitSign } from '../look/degrees.js';
import { useWidth } from '../look/width.js';

type Limit = NonNullable<ProbeNow['limits']['alarm']>;
type Props = {
  readonly probe: ProbeNow;
  readonly exceedance: Exceedance | undefined;
  readonly limits: { readonly warning?: Limit | undefined; readonly alarm?: Limit | undefined };
};

const height = 150;
const base = 112;

/** How many minutes the probe spent at each temperature, and where the setpoints are on the same scale. */
export const ExceedanceDrawing = ({ probe, exceedance, limits }: Props) => {
  const [drawn, width] = useWidth<SVGSVGElement>(1200);
  const tops = [
    limits.warning?.raiseAtC,
    limits.alarm?.raiseAtC,
    exceedance && exceedance.fromC + exceedance.minutes.length,
  ].filter((c) => c !== undefined);
  const toC = Math.max(40, ...tops) * 1.08;
  // Room at the right for the word of an alarm that comes last.
  const x = (c: number) => 10 + (c / toC) * (width - 84);
  const bin = toC > 250 ? 10 : 1;
  const bins = binned(exceedance?.minutes ?? [], bin);
  // A root keeps rare hot minutes in sight beside hours of cruising.
  const most = Math.sqrt(Math.max(1, ...bins));
  // Round in the reader's unit.
  const ticks = valueTicks(toReader(0), toReader(toC), Math.max(2, Math.min(8, width / 60)));
  return (
    <svg
      ref={drawn}
      class="exceedance"
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`${probe.name}: minutes at each temperature over ${exceedance?.hours.toFixed(0) ?? 'no'} stored hours, with its limits`}
    >
      {bins.map((minutes, i) =>
        minutes ? (
          <rect
            key={x(i * bin)}
            class="minutes"
            x={x(i * bin)}
            y={base - (Math.sqrt(minutes) / most) * 90}
            width={Math.max(1, x(bin) - x(0) - 1)}
            height={(Math.sqrt(minutes) / most) * 90}
          />
        ) : null,
      )}
      <path class="scale" d={`M10 ${base}H${width - 10}`} />
      {ticks.map((value) => (
        <text key={value} x={x(fromReader(value))} y={base + 18} text-anchor="middle">
          {value}
        </text>
      ))}
      <text x={width - 10} y={base + 34} text-anchor="end">
        {unitSign()}
      </text>
      {(['warning', 'alarm'] as const).map((kind) => {
        const limit = limits[kind];
        return limit ? (
          <g key={kind} class={`setpoint ${kind}`}>
            <rect
              x={x(limit.clearAtC)}
              y={base - 6}
              width={Math.max(0, x(limit.raiseAtC) - x(limit.clearAtC))}
              height="6"
            />
            <path d={`M${x(limit.raiseAtC)} 6V${base}`} />
            <text
              x={x(limit.raiseAtC) + (kind === 'alarm' ? 6 : -6)}
              y={18}
              text-anchor={kind === 'alarm' ? 'start' : 'end'}
            >
              {/* Where the word has no room the colour and the form below say which. */}
              {width < 220 ? '' : `${kind} `}
              {degrees(limit.raiseAtC, 0)}
            </text>
          </g>
        ) : null;
      })}
      {probe.quality === 'good' && probe.temperatureC !== undefined && (
        <path class="now" d={`M${x(probe.temperatureC)} ${base}l-7 12h14z`} />
      )}
    </svg>
  );
};

const binned = (minutes: readonly number[], bin: number): readonly number[] => {
  const bins = new Array<number>(Math.ceil(minutes.length / bin)).fill(0);
  minutes.forEach((count, degree) => {
    const i = Math.floor(degree / bin);
    bins[i] = (bins[i] ?? 0) + count;
  });
  return bins;
};
