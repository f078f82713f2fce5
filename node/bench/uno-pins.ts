import { NodeError } from '../errors/node-error.js';
import type { Kit } from '../kit/schema.js';

const lastDigitalPin = 13;
const lastAnaloguePin = 5;
/** A4 and A5 are also the two wires of the I2C bus. */
const firstBusPin = 4;

/** Throws `NodeError` where a kit asks for a pin that an Arduino Uno does not have. */
export function refusePinsAnUnoLacks(kit: Kit): void {
  const refuse = (where: string, what: string) => {
    throw new NodeError(
      'settings-wrong',
      `The bench has an Arduino Uno: ${where} ${what} A kit for a larger board can be tried here once its probes fit an Uno (elbowroom plan with board: uno).`,
    );
  };
  const usesBus = kit.probes.some(({ channel }) => 'address' in channel);
  const analogue: (readonly [what: string, pin: string])[] = kit.probes.flatMap(({ id, channel }) =>
    'pin' in channel ? [[`probe ${id}`, channel.pin] as const] : [],
  );
  if (kit.referencePin) analogue.push(['the reference pin', kit.referencePin.pin]);
  if (kit.buzzerCurrent) analogue.push(["the buzzer's current", kit.buzzerCurrent.pin]);
  for (const [what, name] of analogue) {
    const pin = Number(name.slice(1));
    if (pin > lastAnaloguePin) refuse(what, `uses ${name}, but there are only A0 to A5.`);
    if (usesBus && pin >= firstBusPin)
      refuse(what, `uses ${name}, which carries the I2C bus of other probes. Use A0 to A3.`);
  }
  const digital = [
    ...Object.entries(kit.outputs),
    ...kit.engines.map(({ id, runningInput }) => [`${id} runningInput`, runningInput?.pin] as const),
  ];
  for (const [what, pin] of digital)
    if (pin !== undefined && pin > lastDigitalPin) refuse(what, `is pin ${pin}, but there are only 2 to 13.`);
}
