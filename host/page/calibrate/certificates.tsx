import { useSignal } from '@preact/signals';
import { useAsked } from '../link/asked.js';
import { Button } from '../look/button.js';

/** The certificates beside the kit, to look at and to print. */
export const Certificates = ({ asOf }: { readonly asOf: unknown }) => {
  const { found: names } = useAsked<readonly string[]>('api/certificates', { asOf });
  const open = useSignal<{ readonly name: string; readonly text: string } | undefined>(undefined);
  const look = async (name: string) => {
    const answer = await fetch(`api/certificates/${name}/text`).catch(() => undefined);
    open.value = { name, text: answer?.ok ? await answer.text() : 'The host does not give it.' };
  };
  return (
    <section aria-label="Certificates">
      <h3>Certificates</h3>
      {names.value?.length === 0 && (
        <p class="quiet">None yet: every probe is read by its datasheet's curve.</p>
      )}
      <p class="hands">
        {names.value?.map((name) => (
          <Button key={name} aria-pressed={open.value?.name === name} onClick={() => look(name)}>
            {name}
          </Button>
        ))}
      </p>
      {open.value && (
        <div class="certificate">
          <img
            src={`api/certificates/${open.value.name}/picture`}
            alt={`Uncertainty of ${open.value.name} over temperature`}
          />
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a wide text must be scrolled by keyboard too */}
          <pre tabIndex={0}>{open.value.text}</pre>
        </div>
      )}
    </section>
  );
};
