/**
 * What the current read back says of the buzzer. `silent-pin`: ordered on by its pin it takes no current; `silent-circuit`:
 * the heartbeat has stopped and it takes none; `always-on`: it takes current that nothing orders.
 */
export type BuzzerVerdict = 'well' | 'silent-pin' | 'silent-circuit' | 'always-on';

/** The rule of an alert that the buzzer itself may be unable to sound. */
export const buzzerSilentRule = 'buzzer-no-current';
