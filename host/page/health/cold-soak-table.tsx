import type { Health } from '../../engine-health/health.js';
import { now } from '../link/stream.js';
import { Columns } from '../look/columns.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { dayText } from '../look/moments.js';

/** Offsets past this ask for a new calibration. Our choice: half of what a warning should never miss by. */
const worthALookK = 1;
const shown = 6;

/** Probes in one engine room should read the same after a cold night. */
export const ColdSoakTable = ({
  coldSoaks: soaks,
  coldSoaksTell,
}: Pick<Health, 'coldSoaks' | 'coldSoaksTell'>) => {
  const stride = Math.max(1, Math.floor((soaks.length - 1) / (shown - 1)));
  const some = soaks.filter((_, i) => (soaks.length - 1 - i) % stride === 0).slice(-shown);
  const probes = [...new Set(soaks.flatMap((soak) => Object.keys(soak.offsets)))];
  const name = (id: string) => now.value?.probes.find((p) => p.id === id)?.name ?? id;
  if (!some.length)
    return (
      <p class="quiet">
        {coldSoaksTell
          ? 'No cold start is stored yet: switch the kit on some minutes before the engines.'
          : 'Too few probes to compare after a night: it takes three outside the sea water.'}
      </p>
    );
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: on a phone it is scrolled, by keyboard too
    <table class="soaks" tabIndex={0}>
      <caption>
        Cold-soak agreement: each probe less the middle of all, {unitSign()}, after a night without engines
      </caption>
      <Columns of={['Probe', 'Says']}>
        {some.map((soak) => (
          <th key={soak.at} scope="col">
            {dayText(soak.at)}
          </th>
        ))}
      </Columns>
      <tbody>
        {probes.map((probe) => {
          const last = soaks.findLast((soak) => soak.offsets[probe] !== undefined)?.offsets[probe] ?? 0;
          return (
            <tr key={probe}>
              <th scope="row">{name(probe)}</th>
              <td>{Math.abs(last) > worthALookK ? <b>drifts: calibrate it again</b> : 'agrees'}</td>
              {some.map((soak) => {
                const offset = soak.offsets[probe];
                return (
                  <td key={soak.at}>
                    {offset === undefined ? 'none' : `${offset > 0 ? '+' : ''}${spanDegrees(offset, 2)}`}
                  </td>
                );
              })}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
};
