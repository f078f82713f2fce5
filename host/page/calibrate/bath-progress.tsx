import { useSignal } from '@preact/signals';
import type { DeskState } from '../../calibrate/desk.js';
import { Button } from '../look/button.js';
import { degreesText, spanDegrees, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';
import { readable } from '../look/readable.js';
import { HotCaution, isHot } from './caution.js';

const by = (certificate: string | undefined): string => (certificate ? `, read by ${certificate}` : '');

type Props = { readonly desk: DeskState; readonly take: () => void; readonly leave: () => void };

/** Every probe on its way to the bath's temperature, and whether it has settled. */
export const BathProgress = ({ desk, take, leave }: Props) => {
  const { bath, progress } = desk;
  const settled = progress.filter((p) => p.settled).length;
  const taken = desk.probes.reduce((sum, { points }) => sum + points.length, 0);
  const sure = useSignal(false);
  const giveUp = () => {
    if (sure.value || !taken) leave();
    else sure.value = true;
  };
  const name = (id: string) => desk.probes.find((p) => p.id === id)?.name ?? id;
  return (
    <section aria-label="Settling">
      <h3>
        In the {bath?.kind} bath, {bath && degreesText(bath.temperatureC, 2)}
      </h3>
      {bath?.kind === 'reference' && isHot(bath.temperatureC) && <HotCaution />}
      <ul class="settling">
        {progress.map((p) => (
          <li key={p.probe} class={p.settled ? 'settled' : ''}>
            <b>{name(p.probe)}</b>
            <span class="reads">{p.readC === undefined ? '' : degreesText(p.readC, 2)}</span>
            <progress value={p.settled ? 1 : p.progress} max={1} aria-label={`${name(p.probe)} settling`} />
            <span>
              {p.missing !== undefined
                ? readable(p.missing)
                : p.settled
                  ? `settled${by(p.under)}`
                  : `${p.remainingS === undefined ? 'settling' : `about ${spanText(p.remainingS)} left`}, moves ${spanDegrees(p.trendCPerMin, 2)} ${unitSign()} a minute${by(p.under)}`}
            </span>
          </li>
        ))}
      </ul>
      <p class="hands">
        <Button class={settled ? 'strong' : ''} onClick={take}>
          {settled ? `Record ${settled} ${settled === 1 ? 'probe' : 'probes'}` : 'Back'}
        </Button>
        <Button onClick={giveUp}>{sure.value ? `Yes, discard ${taken} recorded points` : 'Cancel'}</Button>
      </p>
    </section>
  );
};
