import { now } from '../link/stream.js';
import { Between } from './between.js';
import { EnginePanel } from './engine-panel.js';
import { LiveChart } from './live-chart.js';

/** The engines in the order of the kit; between the first two, what they share and how far they stand apart. */
export const NowScreen = () => {
  const seen = now.value;
  if (!seen) return <Waiting />;
  if (!seen.probes.length) return <NothingYet />;
  const [first, ...others] = seen.engines;
  const of = (engine: string) => seen.probes.filter((probe) => probe.engine === engine);
  return (
    <div class="now">
      {first && <EnginePanel engine={first} probes={of(first.id)} mirrored={others.length > 0} />}
      <Between probes={seen.probes} engines={seen.engines} />
      {others.map((engine) => (
        <EnginePanel key={engine.id} engine={engine} probes={of(engine.id)} mirrored={false} />
      ))}
      <LiveChart probes={seen.probes.filter((p) => (p.quantity ?? 'temperature') === 'temperature')} />
    </div>
  );
};

const Waiting = () => (
  <div class="empty" aria-busy="true">
    <div class="ghost" aria-hidden="true">
      <i />
      <i />
    </div>
    <p>Waiting for the first figures from the host…</p>
  </div>
);

const NothingYet = () => (
  <div class="empty">
    <h2>No probe has spoken yet</h2>
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
