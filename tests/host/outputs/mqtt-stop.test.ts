import { once } from 'node:events';
import { type AddressInfo, createServer } from 'node:net';
import { expect, it, vi } from 'vitest';
import { startMqtt } from '../../../host/outputs/mqtt/start-mqtt.js';

it('a broker that takes the connection and nothing more does not keep the host from stopping', async () => {
  const received: Buffer[] = [];
  const broker = createServer((socket) => {
    socket.on('error', () => socket.destroy());
    socket.on('data', (bytes: Buffer) => {
      // CONNACK, accepted (MQTT 3.1.1, 3.2); every PUBLISH after it stays without its PUBACK.
      if (received.push(bytes) === 1) socket.write(Buffer.from([0x20, 0x02, 0x00, 0x00]));
    });
  }).listen(0, '127.0.0.1');
  await once(broker, 'listening');
  const { port } = broker.address() as AddressInfo;
  const live = { nodes: () => [], on: () => () => undefined, onChange: () => () => undefined };
  const output = startMqtt(
    { url: `mqtt://127.0.0.1:${port}`, version: '3.1.1', topic: 'boat', everyS: 1 },
    live,
  );
  await vi.waitFor(() => expect(Buffer.concat(received).includes('online')).toBe(true), { timeout: 30_000 });
  await output.stop();
  expect(output.status()[0]).toMatchObject({ sent: 0 });
  broker.close();
});
