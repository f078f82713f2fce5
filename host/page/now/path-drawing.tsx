/**
 * The path of the sea water and of the gas through one engine, seen from above with the bow at the top: sea,
 * strainer, pump and cooler on the keel side, exhaust on the hull side, both meeting at the wet elbow and
 * leaving over the stern. Drawn once for starboard and mirrored for port.
 * Nothing here moves: flow is not measured, and a moving line would claim that it is.
 */
type Props = { readonly side: 'port' | 'starboard'; readonly places: readonly string[] };

const rowHeight = 100;
const gasX = 104;
const waterX = 34;
const coolerX = 34;

export const PathDrawing = ({ side, places }: Props) => {
  const rows = Math.max(1, places.length);
  const elbowRow = places.indexOf('wet-elbow');
  const elbowY = (elbowRow < 0 ? rows - 1 : elbowRow) * rowHeight + 50;
  const height = rows * rowHeight;
  const seaY = height - 12;
  const coolerY = 34;
  return (
    <svg
      class="drawing"
      viewBox={`0 0 140 ${height}`}
      role="img"
      aria-label={`${side}: sea water goes by strainer, pump and cooler to the wet elbow, where it meets the exhaust gas; both leave over the stern`}
    >
      <g transform={side === 'port' ? 'translate(140 0) scale(-1 1)' : undefined}>
        {/* gas: engine, manifold, dry run, elbow */}
        <rect class="block" x="66" y="-30" width="66" height="44" rx="5" />
        <path class="gas" d={`M${gasX} 14V${elbowY}`} />
        {/* mixed: over the stern */}
        <path class="gas mixed" d={`M${gasX} ${elbowY}V${height}`} />
        <path class="water mixed" d={`M${gasX} ${elbowY}V${height}`} />
        {/* water: sea, strainer, pump, cooler, elbow */}
        <path
          class="water"
          d={`M${waterX} ${seaY}V${coolerY + 20}M${coolerX} ${coolerY - 20}V8q0 -8 8 -8h14q8 0 8 8V${elbowY - 12}q0 12 12 12H${gasX}`}
        />
        <g class="cooler">
          <rect x={coolerX - 13} y={coolerY - 20} width="26" height="40" rx="3" />
          <path d={`M${coolerX} ${coolerY - 14}l6 5-12 6 12 6-12 6 6 5`} />
        </g>
        <g class="pump">
          <circle cx={waterX} cy={(seaY + coolerY + 20) / 2 - 14} r="12" />
          <path d={`M${waterX} ${(seaY + coolerY + 20) / 2 - 14}m-8 -4l16 8m-4 -12l-8 16`} />
        </g>
        <g class="strainer">
          <rect x={waterX - 9} y={seaY - 34} width="18" height="20" />
          <path d={`M${waterX - 9} ${seaY - 29}h18m-18 5h18m-18 5h18`} />
        </g>
        <path class="sea" d={`M6 ${seaY + 4}q7 -8 14 0t14 0 14 0 14 0`} />
        {places.map((place, index) => (
          <g key={`${place}${index}`} class={`tap ${place}`}>
            <path d={`M${gasX} ${index * rowHeight + 50}H140`} />
            <circle cx={gasX} cy={index * rowHeight + 50} r="6" />
          </g>
        ))}
      </g>
    </svg>
  );
};
