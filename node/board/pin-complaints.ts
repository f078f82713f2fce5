import { pinMode } from './firmata-protocol.js';
import type { PinMap } from './firmware.js';

/** What the firmware gives as the channel of a pin that has none. */
export const noChannel = 127;

export const can = (map: PinMap, pin: number, mode: number): boolean => map.pins[pin]?.has(mode) ?? false;

type Asked = Readonly<Record<'analogs' | 'outputs' | 'inputs', readonly number[]>>;

/** Pins the kit asks for and this board does not have, or has once and is asked for twice, in words. */
export const pinComplaints = (map: PinMap, { analogs, outputs, inputs }: Asked): readonly string[] => [
  ...[
    ...analogs
      .filter((channel) => !map.channels.includes(channel))
      .map((channel) => `A${channel} (analogue)`),
    ...outputs.filter((pin) => !can(map, pin, pinMode.output)).map((pin) => `${pin} (output)`),
    ...inputs.filter((pin) => !can(map, pin, pinMode.input)).map((pin) => `${pin} (input)`),
  ].map((what) => `This board has no pin ${what}; correct the pin in the kit file.`),
  ...[...outputs, ...inputs]
    .filter((pin) => analogs.includes(map.channels[pin] ?? noChannel))
    .map(
      (pin) =>
        `Pin ${pin} of this board is A${map.channels[pin]}, which a probe is on; correct the pin in the kit file.`,
    ),
];
