/** What can be done to a probe, its wires or its chip, in the words of the control endpoint. */
export const faults = {
  open: 'a broken wire, for good',
  short: 'the two wires of the probe touch',
  'short-to-ground': 'the signal wire touches ground',
  'short-to-supply': 'the signal wire touches the 5 V supply',
  loose: 'a loose connection: bursts of broken contact',
  stuck: 'the value never changes, not even by noise',
  reversed: 'the thermocouple wires are swapped',
  'wrong-resistor': 'the divider has a resistor ten times too small',
  absent: 'the chip is not on the bus',
  'blocked-port': 'the port of a pressure transducer is blocked: it keeps the pressure it had',
  'twin-address': 'a second chip answers on the same address',
  'repeats-bytes': 'clock stretching is ignored now and then: a byte is read twice',
} as const;

export type ProbeFault = keyof typeof faults;
