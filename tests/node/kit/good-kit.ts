import { NodeError } from '../../../node/errors/node-error.js';
import { parseKit } from '../../../node/kit/load-kit.js';

export const good = `kit: 1
boat: { name: An Invented Boat }
board: { connection: auto }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
probes:
  - id: port-elbow
    name: Port wet elbow
    engine: port
    place: wet-elbow
    channel: { kind: ntc-divider, pin: A0, resistorOhms: 1000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }
    limits: { alarm: { raiseAtC: 93, clearAtC: 85, holdS: 1 } }
  - id: port-exhaust
    name: Port exhaust gas
    engine: port
    place: dry-exhaust
    channel: { kind: mcp960x, address: 0x67 }
`;
/** What a text is refused with; throws when it is accepted. */
export const saidOf = (text: string): string => {
  try {
    parseKit(text, 'kit.yaml');
  } catch (error) {
    if (error instanceof NodeError && error.code === 'settings-wrong') return error.message;
    throw error;
  }
  throw new Error('the kit was accepted');
};
