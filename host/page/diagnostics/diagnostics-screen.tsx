import { Counted } from './counted.js';

/** Whether messages and readings are lost anywhere, for a search for a fault in the kit itself. */
export const DiagnosticsScreen = () => (
  <div class="diagnostics">
    <h2>Diagnostics</h2>
    <p class="quiet">Counts of messages and readings, from the board to what is sent ashore.</p>
    <Counted />
    <p>
      <a class="button" href="#health">
        Back to Health
      </a>
    </p>
  </div>
);
