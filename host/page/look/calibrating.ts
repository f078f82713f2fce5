import { signal } from '@preact/signals';

/** The probes of the calibration session that is open in this browser: in a bath they are expected to be hot. */
export const calibrating = signal<readonly string[]>([]);
