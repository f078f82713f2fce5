import { encodeFrame } from './frame.js';
import { type Greeting, type Inner, linkProtocol } from './messages.js';
import { type LinkSecret, newNonce, nodeProof, sameProof, sealOf, type Talk } from './seal.js';

/** What a greeting means to the host that receives it. */
export type GreetingMeaning =
  /** The node answers this host; `proven` when it has the same secret. */
  | { readonly kind: 'for-us'; readonly proven: boolean }
  /** It greets no host, or another one: send `arrive`, and it will greet us. */
  | { readonly kind: 'not-for-us' }
  /** A node of another version. */
  | { readonly kind: 'other-protocol' };

/** The host's end of the handshake and of the seal. One for each connection. */
export class HostProtocol {
  readonly nonce = newNonce();
  private readonly secret: () => LinkSecret | undefined;
  private talk: Talk | undefined;
  private key: LinkSecret | undefined;
  private count = 0;

  constructor(secret: () => LinkSecret | undefined) {
    this.secret = secret;
  }

  /** The first frame of a connection. */
  arrival(): string {
    return encodeFrame({ type: 'arrive', protocol: linkProtocol, nonce: this.nonce });
  }

  /** Takes the node's answer to the arrival, from which the seals of this conversation are made. */
  onGreeting({ protocol, nonce, challenge, boot, proof }: Greeting): GreetingMeaning {
    if (protocol !== linkProtocol) return { kind: 'other-protocol' };
    if (nonce !== this.nonce || challenge === undefined) return { kind: 'not-for-us' };
    this.talk = { nonce, challenge, boot };
    this.count = 0;
    this.key = this.secret();
    const proven =
      this.key !== undefined && proof !== undefined && sameProof(proof, nodeProof(this.key, this.talk));
    return { kind: 'for-us', proven };
  }

  /** A message as a frame, sealed where there is a secret. */
  frame(message: Inner): string {
    if (this.key === undefined || this.talk === undefined) return encodeFrame(message);
    const body = JSON.stringify(message);
    const count = ++this.count;
    return encodeFrame({ type: 'sealed', count, body, seal: sealOf(this.key, this.talk, count, body) });
  }
}
