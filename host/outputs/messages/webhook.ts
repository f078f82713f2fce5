import { createHmac } from 'node:crypto';
import { type Clock, RoomError } from '../../../node/index.js';
import type { Destination, Message } from './message.js';

/** The longest answer of a server that is repeated in an error. */
const longestQuote = 200;

/**
 * Signature of a body after the Standard Webhooks specification (standardwebhooks.com): HMAC-SHA256 over
 * `id.timestamp.body`, base64, marked `v1`. The secret is raw bytes, or `whsec_` and base64.
 */
const signatureOf = (
  secret: string,
  signed: { readonly id: string; readonly timestampS: number; readonly body: string },
): string => {
  const key = secret.startsWith('whsec_')
    ? Buffer.from(secret.slice(6), 'base64')
    : Buffer.from(secret, 'utf8');
  const { id, timestampS, body } = signed;
  return `v1,${createHmac('sha256', key).update(`${id}.${timestampS}.${body}`).digest('base64')}`;
};

/** A server that refused, and perhaps when to try again. */
class WebhookError extends RoomError {
  readonly code = 'webhook-refused';
  readonly errorCategory = 'unavailable';
  readonly retryAfterS: number | undefined;

  constructor(message: string, retryAfterS: number | undefined) {
    super(message);
    this.retryAfterS = retryAfterS;
  }
}

const retryAfter = (header: string | null): number | undefined =>
  header !== null && /^\d{1,6}$/.test(header) ? Number(header) : undefined;

/** Posts each message as JSON, signed. Any 2xx answer means taken; a redirect is not followed, since the signature is for this address. */
export const webhookDestination = (
  to: { readonly url: string; readonly secret: string; readonly timeoutS: number },
  clock: Pick<Clock, 'wallMs'>,
): Destination => ({
  // The path may itself be a secret; the host is enough to distinguish destinations.
  name: `webhook to ${new URL(to.url).host}`,
  deliver: async (message: Message) => {
    const body = JSON.stringify(message);
    const timestampS = Math.floor(clock.wallMs() / 1000);
    const answer = await fetch(to.url, {
      method: 'POST',
      redirect: 'manual',
      headers: {
        'content-type': 'application/json',
        'user-agent': 'elbowroom',
        'webhook-id': message.id,
        'webhook-timestamp': String(timestampS),
        'webhook-signature': signatureOf(to.secret, { id: message.id, timestampS, body }),
      },
      body,
      signal: AbortSignal.timeout(to.timeoutS * 1000),
    });
    const said = (await answer.text()).replace(/\s+/g, ' ').slice(0, longestQuote);
    if (!answer.ok)
      throw new WebhookError(
        `${new URL(to.url).host} answered ${answer.status}${said === '' ? '' : `: ${said}`}`,
        retryAfter(answer.headers.get('retry-after')),
      );
  },
});
