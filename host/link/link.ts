import { setTimeout as pause } from 'node:timers/promises';
import type { Clock, LinkSecret } from '../../node/index.js';
import type { Live } from '../live/live.js';
import type { Store } from '../store/index.js';
import { Conversation, type LinkCounters, type Nodes } from './conversation.js';
import { type NodeAddress, openAddress, parseNodeAddress } from './node-address.js';

export type Link = {
  readonly counters: Readonly<LinkCounters>;
  close(): Promise<void>;
};

type LinkOptions = {
  readonly addresses: readonly string[];
  readonly store: Store;
  readonly live: Live;
  readonly clock: Clock;
  /** What a node must see to obey this host; without it the host can only look. */
  readonly secret?: () => LinkSecret | undefined;
};

const shortestPauseMs = 200;
const longestPauseMs = 5_000;

/** Keeps a connection to every node for as long as it runs. Throws `LinkError` for an invalid address. */
export const startLink = ({ addresses, store, live, clock, secret = () => undefined }: LinkOptions): Link => {
  const parsed = addresses.map(parseNodeAddress);
  const counters: LinkCounters = { damagedFrames: 0, duplicates: 0, notUnderstood: 0, askedAgain: 0 };
  const nodes: Nodes = {
    store,
    live,
    clock,
    counters,
    secret,
    sequences: new Map(),
    connections: new Map(),
  };
  const conversations = new Set<Conversation>();
  const closing = new AbortController();

  store.intake.onStored((progress) => {
    for (const stored of progress) for (const conversation of conversations) conversation.stored(stored);
  });
  const tick = setInterval(() => {
    for (const conversation of conversations) conversation.tick();
  }, 1000);

  const talks = parsed.map((address) => talkForLife(address, nodes, conversations, closing.signal));
  return {
    counters,
    close: async () => {
      clearInterval(tick);
      closing.abort();
      for (const conversation of conversations) conversation.close();
      await Promise.all(talks);
    },
  };
};

const talkForLife = async (
  address: NodeAddress,
  nodes: Nodes,
  conversations: Set<Conversation>,
  closing: AbortSignal,
): Promise<void> => {
  let pauseMs = shortestPauseMs;
  while (!closing.aborted) {
    const wire = await openAddress(address).catch(() => undefined);
    if (wire && closing.aborted) wire.destroy();
    else if (wire) {
      const conversation = new Conversation(wire, address.text, nodes);
      conversations.add(conversation);
      const startedMs = nodes.clock.monotonicMs();
      await conversation.ended;
      conversations.delete(conversation);
      if (nodes.clock.monotonicMs() - startedMs > longestPauseMs) pauseMs = shortestPauseMs;
    }
    await pause(pauseMs, undefined, { signal: closing }).catch(() => undefined);
    pauseMs = Math.min(pauseMs * 2, longestPauseMs);
  }
};
