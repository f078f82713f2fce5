import { contactLost } from '../frame/contact.js';
import { spanText } from '../look/moments.js';

/** No data is an alarm of its own: across the whole width, above everything, in no colour of another alarm. */
export const NoData = () => {
  const lost = contactLost();
  if (!lost) return null;
  return (
    <section class="no-data" aria-label="No data">
      <p role="alert">
        <b>No data</b> {lost.forS !== undefined && <b>for {spanText(lost.forS)}</b>} <span>{lost.words}</span>
      </p>
      <p>Read the engines’ own gauges.</p>
    </section>
  );
};
