import { useSignal } from '@preact/signals';
import { act } from '../link/act.js';
import { mayAct } from '../link/session.js';
import { now } from '../link/stream.js';
import { Button } from '../look/button.js';

/** The only proof that an alarm will be heard is hearing it. */
export const BuzzerTest = () => {
  const answer = useSignal('');
  const nodes = now.value?.nodes.filter((node) => node.node !== 'host') ?? [];
  const sound = async (node: string) => {
    const outcome = await act(`api/nodes/${encodeURIComponent(node)}/test-sound`);
    answer.value = outcome.ok
      ? 'It sounds for three seconds. Did you hear it at the helm, with the engines running?'
      : outcome.message;
  };
  return (
    <section class="buzzer-test" aria-label="Buzzer and lamp">
      <h3>Buzzer and lamp</h3>
      {nodes.map((node) => (
        <Button key={node.node} disabled={!node.connected || !mayAct()} onClick={() => sound(node.node)}>
          Sound the buzzer of {node.node}
        </Button>
      ))}
      <p role="status">{answer.value}</p>
    </section>
  );
};
