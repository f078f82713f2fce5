import { connect, type Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { expect, vi } from 'vitest';
import { HostProtocol } from '../../../node/link/host-protocol.js';
import { LinkServer } from '../../../node/link/link-server.js';
import type { FromNode, Inner, NodeMessage } from '../../../node/link/messages.js';
import { parseFromNode } from '../../../node/link/messages.js';
import { receiveFrames } from '../../../node/link/receive-frames.js';
import { newSecret } from '../../../node/link/seal.js';

export const message = (at: number): NodeMessage => ({ kind: 'alerts', at, alerts: [] });
export const secret = newSecret();
export const closing: (() => unknown)[] = [];
/** For `afterEach`: closes what a test has opened. */
export const closeAll = async (): Promise<void> => {
  vi.useRealTimers();
  for (const close of closing.splice(0).reverse()) await close();
};

export const server = (ringBytes = 100_000) => {
  const commands: unknown[] = [];
  const link = new LinkServer({
    node: 'test-node',
    boot: 'boot-1',
    ringBytes,
    secret: () => secret,
    onCommand: async (command) => {
      commands.push(command);
      return { ok: true, detail: 'done' };
    },
    onTestSound: (forS) => ({ ok: forS < 5, detail: `${forS} s` }),
    onListener: () => {},
  });
  closing.push(() => link.close());
  return { link, commands };
};

/** A host with the secret, unless it has another or none. */
export const host = (wire: Duplex, has: string | undefined = secret) => {
  const protocol = new HostProtocol(() => has);
  const got: FromNode[] = [];
  receiveFrames(wire, {
    onFrame: (value) => {
      const parsed = parseFromNode(value);
      if (!parsed) throw new Error(`the node said something that does not parse: ${JSON.stringify(value)}`);
      if (parsed.type === 'greeting') protocol.onGreeting(parsed);
      got.push(parsed);
    },
    onDamaged: (why) => {
      throw new Error(why);
    },
  });
  const seqs = () => got.flatMap((m) => (m.type === 'message' ? [m.seq] : []));
  const say = (m: Inner) => wire.write(protocol.frame(m));
  const arrive = () => wire.write(protocol.arrival());
  return { got, seqs, say, arrive, wire };
};

export const until = (what: () => unknown) =>
  vi.waitFor(() => expect(what()).toBeTruthy(), { timeout: 30_000 });

/** A connection that has said nothing yet. */
export const knock = (port: number): Promise<Socket> =>
  new Promise((resolve) => {
    const socket: Socket = connect(port, '127.0.0.1', () => resolve(socket));
    socket.on('error', () => {});
    closing.push(() => socket.destroy());
  });

export const dial = async (port: number, has?: string): Promise<ReturnType<typeof host>> => {
  const dialled = host(await knock(port), has);
  dialled.arrive();
  await until(() => dialled.got.length > 0);
  return dialled;
};
