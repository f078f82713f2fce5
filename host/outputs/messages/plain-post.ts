import type { Destination, Message } from './message.js';

export type PlainPost = {
  readonly url: string;
  /** Sent as they are, but for `{subject}` and `{priority}`, which become those of the message. */
  readonly headers: Readonly<Record<string, string>>;
  /** Whole header lines that are secret, such as `Authorization: Bearer ...`, from a file of their own. */
  readonly secretHeaders?: Readonly<Record<string, string>>;
  /** What `{priority}` becomes; each relay has its own scale. */
  readonly priorities: Readonly<Record<MessagePriority, string>>;
  readonly timeoutS: number;
};

/** The most severe priority in a message; `none` for a sign of life, a test and what has ended. */
export const messagePriorities = ['alarm', 'warning', 'caution', 'none'] as const;
export type MessagePriority = (typeof messagePriorities)[number];

const priorityOf = ({ changes }: Message): MessagePriority => {
  const priorities = changes.flatMap((change) => {
    if (!('alert' in change)) return change.kind === 'silent' ? ['warning'] : [];
    return change.kind === 'ended' ? [] : [change.alert.priority];
  });
  return messagePriorities.find((priority) => priorities.includes(priority)) ?? 'none';
};

/** A header's value is Latin-1 on the wire (RFC 9110, 5.5): what does not fit is sent as UTF-8 after RFC 2047. */
const headerValue = (text: string): string => {
  const oneLine = text.replace(/[\r\n]+/g, ' ').trim();
  return /^[\x20-\x7e]*$/.test(oneLine)
    ? oneLine
    : `=?UTF-8?B?${Buffer.from(oneLine, 'utf8').toString('base64')}?=`;
};

/**
 * Posts the text of each message as it is, with headers of the owner's, so that a push relay of their own shows title and
 * priority. Any 2xx answer means taken; a redirect is not followed.
 */
export const plainPostDestination = (to: PlainPost): Destination => ({
  name: `plain text to ${new URL(to.url).host}`,
  deliver: async (message) => {
    const filled = (value: string) =>
      headerValue(
        value
          .replaceAll('{priority}', () => to.priorities[priorityOf(message)])
          .replaceAll('{subject}', () => message.subject),
      );
    const answer = await fetch(to.url, {
      method: 'POST',
      redirect: 'manual',
      headers: {
        'content-type': 'text/plain; charset=utf-8',
        'user-agent': 'elbowroom',
        ...Object.fromEntries(Object.entries(to.headers).map(([name, value]) => [name, filled(value)])),
        ...to.secretHeaders,
      },
      body: message.text,
      signal: AbortSignal.timeout(to.timeoutS * 1000),
    });
    await answer.body?.cancel();
    if (!answer.ok) throw new Error(`${new URL(to.url).host} answered ${answer.status}`);
  },
});

/** Lines of `Name: value` in a secret file; throws and names a line that is not one. */
export const headerLines = (text: string): Readonly<Record<string, string>> =>
  Object.fromEntries(
    text
      .split(/\r?\n/)
      .filter((line) => line.trim() !== '')
      .map((line, index) => {
        const [, name, value] = /^([A-Za-z0-9-]+):\s*(.+)$/.exec(line) ?? [];
        if (name === undefined || value === undefined)
          throw new Error(`line ${index + 1} is not a header, such as "Authorization: Bearer ..."`);
        return [name, value.trim()];
      }),
  );
