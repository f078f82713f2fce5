import type { HostAlerts } from '../live/host-alerts.js';

/** What is wrong between this host and a node, as alerts of the host: shown on the page, gone when it is over. */

export const reportVersion = (own: HostAlerts, node: string, address: string, other: boolean): void => {
  const id = `host-node-version:${address}`;
  if (!other) own.clear(id);
  else
    own.raise({
      id,
      rule: 'node-version',
      priority: 'warning',
      message: `The node ${node} at ${address} is another version than this host and uses another protocol. Nothing of it is shown.`,
      actions: ['Its buzzer works all the same.', 'Install the same version for both and start them again.'],
    });
};

/** A page that cannot silence the buzzer must say so in advance. */
export const reportSecret = (own: HostAlerts, node: string, address: string, proven: boolean): void => {
  const id = `host-not-obeyed:${node}`;
  if (proven) own.clear(id);
  else
    own.raise({
      id,
      rule: 'link-secret',
      priority: 'warning',
      message: `The node ${node} at ${address} and this host do not have the same link secret. Its alerts are shown, but cannot be acknowledged or silenced from here.`,
      actions: [
        'Give both the same link-secret file (mode 0600), with --link-secret or beside the data folders.',
        'If this node is not yours, find out which program answers at that address.',
      ],
    });
};

export const twoNodesId = (node: string): string => `host-two-nodes:${node}`;

export const reportTwoNodes = (own: HostAlerts, node: string, first: string, second: string): void =>
  own.raise({
    id: twoNodesId(node),
    rule: 'two-nodes-one-name',
    priority: 'warning',
    message: `Two nodes call themselves ${node}: at ${first} and at ${second}. Only the first is used.`,
    actions: [`Give one of them another name: "node:" in its kit file, then start it again.`],
  });
