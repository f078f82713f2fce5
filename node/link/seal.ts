import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';

/** What only node and host share: 32 random bytes as text, kept in a file of mode 0600. */
export type LinkSecret = string;

/** The random numbers of both ends of this conversation; new for each, so that nothing can be replayed from another. */
export type Talk = {
  /** Chosen by the host. */
  readonly nonce: string;
  /** Chosen by the node. */
  readonly challenge: string;
  readonly boot: string;
};

/** 128 random bits for one conversation. */
export const newNonce = (): string => randomBytes(16).toString('base64url');
export const newSecret = (): LinkSecret => randomBytes(32).toString('base64url');

/** Shows that the node has the secret (HMAC-SHA-256, RFC 2104). */
export const nodeProof = (secret: LinkSecret, { nonce, challenge, boot }: Talk): string =>
  mac(secret, `node\n${nonce}\n${challenge}\n${boot}`);

/** Shows that a message comes from a host that has the secret, in this conversation, as the `count`th. */
export const sealOf = (secret: LinkSecret, talk: Talk, count: number, body: string): string =>
  mac(secret, `host\n${talk.nonce}\n${talk.challenge}\n${talk.boot}\n${count}\n${body}`);

/** Compares in constant time. */
export const sameProof = (a: string, b: string): boolean => {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
};

const mac = (secret: LinkSecret, text: string): string =>
  createHmac('sha256', secret).update(`elbowroom link 2\n${text}`).digest('base64url');
