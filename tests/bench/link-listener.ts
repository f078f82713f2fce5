import { readFileSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import {
  type AlertRow,
  type FromNode,
  HostProtocol,
  type NodeMessage,
  parseFromNode,
  receiveFrames,
} from '../../node/index.js';

type Message = Extract<FromNode, { type: 'message' }>;

/** A host that only listens and remembers, and can give orders. */
export class LinkListener {
  readonly messages: Message[] = [];
  readonly answers: Extract<FromNode, { type: 'answer' }>[] = [];
  readonly #socket: Socket;
  readonly #protocol: HostProtocol;
  #requests = 0;

  constructor(port: number, secretPath: string) {
    this.#protocol = new HostProtocol(() => readFileSync(secretPath, 'utf8').trim());
    this.#socket = connect(port, '127.0.0.1');
    this.#socket.on('error', () => {});
    receiveFrames(this.#socket, {
      onFrame: (value) => {
        const frame = parseFromNode(value);
        if (frame?.type === 'greeting') this.#protocol.onGreeting(frame);
        if (frame?.type === 'message') this.messages.push(frame);
        if (frame?.type === 'answer') this.answers.push(frame);
      },
      onDamaged: (why) => {
        throw new Error(`the node sent a damaged frame: ${why}`);
      },
    });
    this.#socket.write(this.#protocol.arrival());
  }

  last<Kind extends NodeMessage['kind']>(kind: Kind): Extract<NodeMessage, { kind: Kind }> | undefined {
    return this.messages.findLast((one) => one.message.kind === kind)?.message as never;
  }

  get alerts(): readonly AlertRow[] {
    return this.last('alerts')?.alerts ?? [];
  }

  acknowledge(alertId: string): void {
    const command = { do: 'acknowledge', alertId } as const;
    const requestId = `r${++this.#requests}`;
    this.#socket.write(this.#protocol.frame({ type: 'command', requestId, command }));
  }

  testSound(forS: number): void {
    const requestId = `r${++this.#requests}`;
    this.#socket.write(this.#protocol.frame({ type: 'test-sound', requestId, forS }));
  }

  close(): void {
    this.#socket.destroy();
  }
}
