import { mayWatch } from '../link/session.js';
import { link, now, silentS } from '../link/stream.js';

/** A node sends readings once a second: as long as this without any is lost contact. */
const nodeSilentAfterMs = 3_500;

export type Lost = {
  /** The link of the chain that is lost, nearest to the reader. */
  readonly at: 'board' | 'node' | 'host';
  readonly words: string;
  readonly forS?: number;
};

/** Where the way from the board to this page is broken; the break nearest to the reader hides what is behind it. */
export const contactLost = (): Lost | undefined => {
  const seen = now.value;
  if (!seen || !mayWatch()) return undefined;
  if (link.value === 'silent')
    return { at: 'host', words: 'Lost contact with the host.', forS: silentS.value };
  const nodes = seen.nodes.filter(({ node }) => node !== 'host');
  const away = nodes.find(
    ({ connected, lastHeardAt }) => !connected || seen.at - (lastHeardAt ?? 0) > nodeSilentAfterMs,
  );
  if (away)
    return {
      at: 'node',
      words: `Lost contact with ${away.node}.`,
      ...(away.lastHeardAt !== undefined && { forS: (seen.at - away.lastHeardAt) / 1000 }),
    };
  const boardless = nodes.find(({ board }) => board !== undefined && board !== 'connected');
  return boardless && { at: 'board', words: `Lost contact with the board of ${boardless.node}.` };
};
