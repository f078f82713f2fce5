import { mayWatch } from '../link/session.js';
import { link, now, silentS } from '../link/stream.js';
import { spanText } from '../look/moments.js';

type Joint = { readonly name: string; readonly sound: boolean; readonly trouble?: string };

/** The way a reading travels to this page, and the first place where it is broken, in words. */
const joints = (): readonly Joint[] => {
  const heard = link.value === 'live';
  const nodes = now.value?.nodes.filter((node) => node.node !== 'host') ?? [];
  const away = nodes.filter((node) => !node.connected);
  const boardless = nodes.filter((node) => node.connected && node.board !== 'connected');
  const host = heard
    ? undefined
    : !mayWatch()
      ? 'not told without the pass-phrase'
      : link.value === 'first'
        ? 'waiting for the host'
        : `host not heard for ${spanText(silentS.value)}: figures are old`;
  const node = !nodes.length
    ? 'no node heard yet'
    : away[0] &&
      `${away[0].node} away${away[0].lastHeardAt !== undefined && now.value ? ` for ${spanText((now.value.at - away[0].lastHeardAt) / 1000)}` : ''}`;
  const board = boardless[0] && `board ${boardless[0].board ?? 'not known yet'}`;
  return [
    {
      name: 'board',
      sound: nodes.length > 0 && !away.length && !boardless.length,
      ...(board && { trouble: board }),
    },
    { name: 'node', sound: nodes.length > 0 && !away.length, ...(node && { trouble: node }) },
    { name: 'host', sound: heard, ...(host && { trouble: host }) },
    { name: 'page', sound: true },
  ];
};

/** The break nearest to the reader hides what lies behind it, so that one is told. */
export const chainTrouble = (chain = joints()): string | undefined =>
  chain.findLast((joint) => joint.trouble)?.trouble;

export const LinkChain = () => {
  const chain = joints();
  const trouble = chainTrouble(chain);
  const brokenAt = chain.findLastIndex((joint) => !joint.sound);
  return (
    <div class={`chain${trouble ? ' broken' : ''}`} role="status" aria-live="polite">
      <span class="joints" aria-hidden="true">
        {chain.map((joint, index) => (
          <i key={joint.name} class={index <= brokenAt ? 'gone' : 'sound'}>
            {joint.name}
          </i>
        ))}
      </span>
      <strong>{trouble ?? 'live'}</strong>
    </div>
  );
};
