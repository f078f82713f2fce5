/**
 * The path of the sea water and of the gas through one engine, the same for each: sea, strainer, pump and cooler at the
 * left, exhaust at the right, both meeting at the wet elbow and leaving over the stern.
 * Nothing here moves: flow is not measured, and a moving line would claim that it is.
 */
type Props = { readonly name: string; readonly places: readonly string[] };

const width = 168;
const left = 30;
const rowHeight = 100;
const gasX = 140;
const waterX = 70;
const returnX = 100;
const coolerY = 42;

export const PathDrawing = ({ name: engine, places }: Props) => {
  const rows = Math.max(1, places.length);
  const elbowRow = places.indexOf('wet-elbow');
  const elbowY = (elbowRow < 0 ? rows - 1 : elbowRow) * rowHeight + 50;
  const height = rows * rowHeight;
  const seaY = height - 10;
  const strainerY = seaY - 32;
  const pumpY = (strainerY + coolerY + 22) / 2;
  return (
    <svg
      class="drawing"
      viewBox={`${left} 0 ${width - left} ${height}`}
      // Where there is no room for the whole width the sea side is cropped, and the taps stay level with their probes.
      preserveAspectRatio="xMaxYMin slice"
      role="img"
      aria-label={`${engine}: sea water goes by strainer, pump and cooler to the wet elbow, where it meets the exhaust gas; both leave over the stern`}
    >
      <g>
        <rect class="block" x="112" y="-30" width="56" height="46" rx="4" />
        <path class="gas" d={`M${gasX} 16V${height}`} />
        <path class="water mixed" d={`M${gasX} ${elbowY}V${height}`} />
        <path
          class="water"
          d={`M${waterX} ${seaY}V20q0 -10 10 -10h${returnX - waterX - 20}q10 0 10 10V${elbowY - 12}q0 12 12 12H${gasX}`}
        />
        <path class="sea" d={`M${waterX - 34} ${seaY + 3}q8.5 -9 17 0t17 0 17 0 17 0`} />
        <g class="part">
          <rect x={waterX - 14} y={coolerY - 20} width="28" height="40" rx="3" />
          <path d={`M${waterX} ${coolerY - 16}l7 6-14 6 14 6-14 6 14 6-7 3`} />
          <circle cx={waterX} cy={pumpY} r="14" />
          <path d={`M${waterX} ${pumpY}m-10 0h20m-15 -8.7l10 17.4m0 -17.4l-10 17.4`} />
          <rect x={waterX - 11} y={strainerY - 12} width="22" height="24" />
          <path
            d={`M${waterX - 11} ${strainerY - 4}h22m-22 8h22M${waterX - 4} ${strainerY - 12}v24m8 -24v24`}
          />
        </g>
        {places.map((place, index) => (
          <g key={place} class="tap">
            <path d={`M${gasX} ${index * rowHeight + 50}H${width}`} />
            <circle cx={gasX} cy={index * rowHeight + 50} r="7" />
          </g>
        ))}
      </g>
    </svg>
  );
};
