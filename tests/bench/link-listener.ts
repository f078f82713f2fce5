import { connect, type Socket } from 'node:net';
import {
  type AlertRow,
  encodeFrame,
  type FromNode,
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
  #requests = 0;

  constructor(port: number) {
    this.#socket = connect(port, '127.0.0.1');
    this.#socket.on('error', () => {});
    receiveFrames(this.#socket, {
      onFrame: (value) => {
        const frame = parseFromNode(value);
        if (frame?.type === 'message') this.messages.push(frame);
        if (frame?.type === 'answer') this.answers.push(frame);
      },
      onDamaged: (why) => {
        throw new Error(`the node sent a damaged frame: ${why}`);
      },
    });
  }

  last<Kind extends NodeMessage['kind']>(kind: Kind): Extract<NodeMessage, { kind: Kind }> | undefined {
    return this.messages.findLast((one) => one.message.kind === kind)?.message as never;
  }

  get alerts(): readonly AlertRow[] {
    return this.last('alerts')?.alerts ?? [];
  }

  acknowledge(alertId: string): void {
    const command = { do: 'acknowledge', alertId };
    this.#socket.write(encodeFrame({ type: 'command', requestId: `r${++this.#requests}`, command }));
  }

  testSound(forS: number): void {
    this.#socket.write(encodeFrame({ type: 'test-sound', requestId: `r${++this.#requests}`, forS }));
  }

  close(): void {
    this.#socket.destroy();
  }
}
