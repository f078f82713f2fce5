import { afterEach, describe, expect, it } from 'vitest';
import type { Change } from '../../../host/outputs/messages/message.js';
import { addChanges, atRest, release } from '../../../host/outputs/messages/pace.js';
import { headerLines, plainPostDestination } from '../../../host/outputs/messages/plain-post.js';
import { isQuiet } from '../../../host/outputs/messages/quiet-hours.js';
import { alert } from './made-alerts.js';
import { message } from './made-message.js';
import { webhookServer } from './webhook-server.js';

const cleaning: (() => unknown)[] = [];
afterEach(async () => {
  for (const clean of cleaning.splice(0)) await clean();
});
const change = (priority: 'alarm' | 'warning' | 'caution', kind: 'raised' | 'ended' = 'raised'): Change => ({
  kind,
  node: 'engine-room',
  at: 0,
  alert: alert({ priority }),
});

describe('a message as plain text', () => {
  it('has the text as its body, and headers with subject and priority filled in', async () => {
    const { close, url, received } = await webhookServer([{ status: 200 }]);
    cleaning.push(close);
    const sent = { ...message(), subject: 'Bläßhuhn: ALARM', changes: [change('caution'), change('alarm')] };
    await plainPostDestination({
      url,
      headers: { Title: '{subject}', Priority: '{priority}', Tags: 'boat' },
      secretHeaders: headerLines('Authorization: Bearer abc\n'),
      priorities: { alarm: '5', warning: '4', caution: '3', none: '2' },
      timeoutS: 5,
    }).deliver(sent);
    const [request] = received;
    expect(request?.body).toBe(sent.text);
    expect(request?.headers).toMatchObject({
      'content-type': 'text/plain; charset=utf-8',
      // RFC 2047: what is not ASCII travels in base64; decoded by hand with `base64 -d`.
      title: '=?UTF-8?B?QmzDpMOfaHVobjogQUxBUk0=?=',
      priority: '5',
      tags: 'boat',
      authorization: 'Bearer abc',
    });
  });

  it('has the subject as it is, also where it holds what a replacement would take for a pattern', async () => {
    const { close, url, received } = await webhookServer([{ status: 200 }]);
    cleaning.push(close);
    await plainPostDestination({
      url,
      headers: { Title: '{subject}' },
      priorities: { alarm: '5', warning: '4', caution: '3', none: '2' },
      timeoutS: 5,
    }).deliver({ ...message(), subject: "The $& $$ {priority} $' boat" });
    expect(received[0]?.headers.title).toBe("The $& $$ {priority} $' boat");
  });

  it('is not taken when the relay refuses it, so that it is tried again', async () => {
    const { close, url } = await webhookServer([{ status: 503 }]);
    cleaning.push(close);
    const to = plainPostDestination({
      url,
      headers: {},
      priorities: { alarm: '5', warning: '4', caution: '3', none: '2' },
      timeoutS: 5,
    });
    await expect(to.deliver(message())).rejects.toThrow('answered 503');
  });

  it('a secret file with a line that is no header is refused with its number', () => {
    expect(() => headerLines('X-A: 1\nnonsense')).toThrow('line 2');
  });
});

describe('quiet hours', () => {
  const night = { from: '22:00', to: '07:00' };
  it.each([
    [night, 22 * 60, true],
    [night, 3 * 60, true],
    [night, 7 * 60, false],
    [night, 12 * 60, false],
    [{ from: '12:00', to: '13:00' }, 12 * 60 + 59, true],
    [{ from: '12:00', to: '13:00' }, 13 * 60, false],
  ])('%o at minute %d: %s', (quiet, minute, expected) => expect(isQuiet(quiet, minute)).toBe(expected));

  const settings = { gatherS: 0, mostPerHour: 12, isQuietNow: true };
  it('hold back a warning until they end, and then send it', () => {
    const pace = addChanges(atRest, [change('warning')], 0);
    expect(release(pace, 10_000, settings).send).toBeUndefined();
    expect(release(pace, 20_000, { ...settings, isQuietNow: false }).send?.changes).toHaveLength(1);
  });

  it('never hold back an alarm or a node that sends nothing', () => {
    const silent: Change = { kind: 'silent', node: 'engine-room', at: 0 };
    for (const urgent of [change('alarm'), silent])
      expect(release(addChanges(atRest, [urgent], 0), 10_000, settings).send?.changes).toEqual([urgent]);
    expect(release(addChanges(atRest, [change('alarm', 'ended')], 0), 10_000, settings).send).toBeUndefined();
  });
});
