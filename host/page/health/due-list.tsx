import { now } from '../link/stream.js';

/** Which curve each probe is read by, and what that asks for. */
export const DueList = () => {
  const probes = now.value?.probes ?? [];
  if (!probes.length) return null;
  const uncalibrated = probes.filter((probe) => probe.certificate === undefined && probe.quality === 'good');
  return (
    <section aria-label="Calibration due">
      <h3>Calibration</h3>
      <ul class="due">
        {probes.map((probe) => (
          <li key={probe.id}>
            <b>{probe.name}</b>{' '}
            {probe.certificate
              ? `certificate ${probe.certificate}; verify it once a season`
              : 'nominal curve: never calibrated'}
          </li>
        ))}
      </ul>
      {uncalibrated.length > 0 && (
        <p>
          {uncalibrated.length} of {probes.length} probes are due:{' '}
          <a href="#calibrate">calibrate them in ice and boiling water</a>.
        </p>
      )}
    </section>
  );
};
