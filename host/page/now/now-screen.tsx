import { useEffect } from 'preact/hooks';
import { current } from '../link/stream.js';
import { Compare } from './compare.js';
import { EnginePanel } from './engine-panel.js';
import { LiveChart } from './live-chart.js';
import { stayAwake } from './stay-awake.js';

/** The engines side by side, from left to right as they are in the boat; below them what they share. */
export const NowScreen = () => {
  const seen = current.value;
  const all = seen?.engines ?? [];
  const running = all.some((engine) => engine.running);
  useEffect(() => (running ? stayAwake() : undefined), [running]);
  if (!seen) return <Waiting />;
  if (!seen.probes.length) return <NothingYet />;
  return (
    <div class="now">
      <div class={`engines of-${all.length}`}>
        {all.map((engine) => (
          <EnginePanel key={engine.id} engine={engine} probes={seen.probes} />
        ))}
      </div>
      <Compare engines={all} probes={seen.probes} />
      <LiveChart probes={seen.probes} />
    </div>
  );
};

const Waiting = () => (
  <div class="empty" aria-busy="true">
    <div class="ghost" aria-hidden="true">
      <i />
      <i />
    </div>
    <p>Waiting for the first readings from the host…</p>
  </div>
);

const NothingYet = () => (
  <div class="empty">
    <h2>No readings yet</h2>
    <p>The host runs and waits for a node. Nothing is measured at this moment.</p>
    <ol>
      <li>
        Does a node run? On a boat: <code>elbowroom watch --kit kit.yaml</code>. To try without a boat:{' '}
        <code>elbowroom bench</code>.
      </li>
      <li>
        Is the board found? <code>elbowroom wiring</code> shows every link of the chain.
      </li>
    </ol>
    <p class="quiet">This kit does not replace the engine's own alarms.</p>
  </div>
);
