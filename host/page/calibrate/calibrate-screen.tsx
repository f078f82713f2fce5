import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { DeskState } from '../../calibrate/desk.js';
import type { Found } from '../../calibrate/found.js';
import type { Finished } from '../../serve/calibrate-routes.js';
import { post } from '../link/act.js';
import { useAsked } from '../link/asked.js';
import { Button } from '../look/button.js';
import { calibrating } from '../look/calibrating.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { readable } from '../look/readable.js';
import { Trouble } from '../look/trouble.js';
import { BathForms } from './bath-forms.js';
import { BathProgress } from './bath-progress.js';
import { Caution } from './caution.js';
import { Certificates } from './certificates.js';
import { ChooseProbes } from './choose-probes.js';

/** The guided session: choose probes, put them in ice and in boiling water, record what has settled, get certificates. */
export const CalibrateScreen = () => {
  const trouble = useSignal('');
  const finished = useSignal<Finished | undefined>(undefined);
  const { found: desk, trouble: offline, look } = useAsked<DeskState>('api/calibration', { everyMs: 1_000 });
  useEffect(() => {
    calibrating.value = desk.value?.probes.map(({ id }) => id) ?? [];
    return () => {
      calibrating.value = [];
    };
  }, [desk.value]);
  const send = async (path: string, body: unknown = {}) => {
    try {
      desk.value = await post<DeskState>(`api/calibration/${path}`, body);
      trouble.value = '';
    } catch (error) {
      trouble.value = (error as Error).message;
    }
  };
  const finishing = useSignal(false);
  const finish = async () => {
    finishing.value = true;
    try {
      finished.value = await post<Finished>('api/calibration/finish', {});
      trouble.value = '';
    } catch (error) {
      trouble.value = (error as Error).message;
    }
    finishing.value = false;
    look();
  };
  const seen = desk.value;
  const isIssued = finished.value !== undefined && !seen?.probes.length;
  const step = isIssued ? 'issue' : !seen?.probes.length ? 'choose' : seen.bath ? 'bath' : 'between';
  // Each step begins with its caution in view.
  useEffect(() => scrollTo(0, 0), [step]);
  return (
    <div class="calibrate">
      <h2>Calibrate</h2>
      <Steps now={step} />
      <Caution />
      <Trouble>{trouble.value || offline.value}</Trouble>
      {finished.value && step === 'issue' && (
        <Issued
          finished={finished.value}
          again={() => {
            finished.value = undefined;
          }}
        />
      )}
      {seen?.unreadable && step === 'choose' && (
        <Trouble>{seen.unreadable} Begin puts a new session in its place.</Trouble>
      )}
      {seen && step === 'choose' && (
        <ChooseProbes start={(probes, wire, settling) => send('start', { probes, wire, settling })} />
      )}
      {seen && step === 'between' && (
        <Taken desk={seen} busy={finishing.value} finish={finish} leave={() => send('leave')} />
      )}
      {seen && step === 'between' && <BathForms begin={(bath) => send('bath', bath)} />}
      {seen && step === 'bath' && (
        <BathProgress desk={seen} take={() => send('take')} leave={() => send('leave')} />
      )}
      <Certificates asOf={finished.value} />
    </div>
  );
};

const steps = {
  choose: 'Choose probes',
  between: 'Prepare a bath',
  bath: 'Let them settle',
  issue: 'Issue certificates',
} as const;

const Steps = ({ now }: { readonly now: keyof typeof steps }) => (
  <ol class="steps" aria-label="Steps">
    {Object.entries(steps).map(([step, text]) => (
      <li key={step} aria-current={step === now ? 'step' : undefined}>
        {text}
      </li>
    ))}
  </ol>
);

type TakenProps = {
  readonly desk: DeskState;
  readonly busy: boolean;
  readonly finish: () => void;
  readonly leave: () => void;
};

const Taken = ({ desk, busy, finish, leave }: TakenProps) => (
  <section aria-label="Recorded so far">
    <h3>Recorded so far</h3>
    <ul class="taken">
      {desk.probes.map((probe) => (
        <li key={probe.id}>
          <b>{probe.name}</b> {probe.points.length ? <Corrections found={probe.points} /> : 'nothing yet'}
        </li>
      ))}
    </ul>
    {desk.findings.map(({ words }) => (
      <Trouble key={words}>{readable(words)}</Trouble>
    ))}
    {desk.refusals.length > 0 && (
      <details>
        <summary>{desk.refusals.length} not recorded</summary>
        <ul>
          {desk.refusals.map((refusal) => (
            <li key={`${refusal.probe}${refusal.bath}${refusal.why}`}>
              {refusal.probe} in the {refusal.bath} bath: {refusal.why}
            </li>
          ))}
        </ul>
      </details>
    )}
    <p class="hands">
      <Button class="strong" disabled={busy || !desk.probes.some((p) => p.points.length)} onClick={finish}>
        Issue certificates
      </Button>
      <Button onClick={leave}>Cancel without certificates</Button>
    </p>
  </section>
);

const signed = (c: number): string => `${c < 0 ? '−' : '+'}${spanDegrees(Math.abs(c), 2)} ${unitSign()}`;

/** How far off the probe was in each bath, and what is left of it with the correction. */
const Corrections = ({ found }: { readonly found: readonly Found[] }) => (
  <ul class="found">
    {found.map(({ bath, beforeC, afterC }, i) => (
      <li key={i}>
        {bath}: {signed(beforeC)} before, {signed(afterC)} after correction
      </li>
    ))}
  </ul>
);

type IssuedProps = { readonly finished: Finished; readonly again: () => void };

const Issued = ({ finished, again }: IssuedProps) => (
  <section role="status">
    <h3>Issued</h3>
    <ul class="taken">
      {finished.issued.map((one) => (
        <li key={one.probe}>
          <b>{one.probe}</b> {one.name ? `certificate ${one.name}` : `no certificate: ${one.refused}`}
          <Corrections found={one.found} />
        </li>
      ))}
    </ul>
    {finished.kitNotChanged && (
      <Trouble>
        The kit file does not name the new certificates. {finished.kitNotChanged}
        <br />
        When it is repaired, give each of these probes its line, such as{' '}
        <code>certificate: certificates/{finished.issued.find(({ name }) => name)?.name}.json</code>
      </Trouble>
    )}
    {finished.kitBackup && (
      <p>The kit file names the new certificates; the old file is {finished.kitBackup}.</p>
    )}
    <p class="hands">
      <Button onClick={again}>Calibrate others</Button>
    </p>
  </section>
);
