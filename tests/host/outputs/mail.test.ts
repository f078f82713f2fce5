import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { afterEach, describe, expect, it } from 'vitest';
import { type MailTarget, mailDestination, mailDestinations } from '../../../host/outputs/messages/mail.js';
import type { Message } from '../../../host/outputs/messages/message.js';
import { testCertificate, testCertificateKey } from './test-certificate.js';

type Letter = { from: string; to: string[]; user: string | undefined; secure: boolean; raw: string };

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

/** A real SMTP server on a free port; what it takes is in `letters`. */
const postOffice = async (options: SMTPServerOptions = {}) => {
  const letters: Letter[] = [];
  const server = new SMTPServer({
    key: testCertificateKey,
    cert: testCertificate,
    authOptional: true,
    disableReverseLookup: true,
    onAuth: ({ username, password }, _session, done) =>
      password === 'right' ? done(null, { user: username }) : done(new Error('535 wrong password')),
    onData: (stream, session, done) => {
      let raw = '';
      stream.on('data', (chunk) => {
        raw += chunk;
      });
      stream.on('end', () => {
        const { mailFrom, rcptTo } = session.envelope;
        letters.push({
          from: mailFrom ? mailFrom.address : '',
          to: rcptTo.map((r) => r.address),
          user: session.user as string | undefined,
          secure: session.secure,
          raw,
        });
        done();
      });
    },
    ...options,
  });
  server.on('error', () => undefined);
  const port = await new Promise<number>((resolve) => {
    const listening = server.listen(0, '127.0.0.1', () => {
      const address = listening.address();
      resolve(typeof address === 'object' && address ? address.port : 0);
    });
  });
  closing.push(() => new Promise((resolve) => server.close(() => resolve())));
  return { port, letters };
};

const target = (over: Partial<MailTarget>): MailTarget => ({
  server: 'localhost',
  port: 0,
  security: 'starttls',
  from: 'boat@example.org',
  to: ['owner@example.org', 'mechanic@example.org'],
  ca: testCertificate,
  timeoutS: 5,
  ...over,
});

const message: Message = {
  id: '1700000000000-abc',
  kind: 'alerts',
  at: Date.parse('2026-07-01T12:00:00Z'),
  boat: 'Marsh Harrier',
  invented: true,
  subject: 'Marsh Harrier (invented): ALARM: Port wet elbow above 75 C',
  text: 'Port wet elbow above 75 C\n.\nRoom left: 0.0 C',
  changes: [
    {
      kind: 'raised',
      node: 'n',
      at: 0,
      alert: {
        id: 'a',
        rule: 'high-limit',
        priority: 'alarm',
        state: 'unacknowledged',
        since: 0,
        message: '',
        evidence: { values: {}, thresholds: {} },
        actions: [],
      },
    },
  ],
  active: [],
  readings: [],
};

describe('mail through a real SMTP server', () => {
  it('goes to everybody named, encrypted after STARTTLS, with the password given', async () => {
    const { port, letters } = await postOffice();
    await mailDestination(target({ port, user: 'boat', password: 'right' })).deliver(message);
    expect(letters.length).toBe(1);
    const [letter] = letters;
    expect(letter).toMatchObject({
      from: 'boat@example.org',
      to: ['owner@example.org', 'mechanic@example.org'],
      user: 'boat',
      secure: true,
    });
    const headers = letter?.raw.split('\r\n\r\n')[0] ?? '';
    expect(headers.replace(/\r\n /g, ' ')).toMatch(
      /^Subject: Marsh Harrier \(invented\): ALARM: Port wet elbow above 75 C$/m,
    );
    expect(headers).toMatch(/^Message-ID: <1700000000000-abc@example\.org>$/im);
    expect(headers).toMatch(/^Auto-Submitted: auto-generated$/im);
    expect(headers).toMatch(/^Date: Wed, 01 Jul 2026 12:00:00 \+0000$/im);
    expect(headers).toMatch(/^Importance: High$/im);
    // A line with a single dot must not end the letter.
    expect(letter?.raw.replace(/\r\n/g, '\n')).toContain('Port wet elbow above 75 C\n.\nRoom left: 0.0 C');
  });

  it('reaches one recipient although the server refuses the other, who alone is tried again', async () => {
    const { port, letters } = await postOffice({
      onRcptTo: ({ address }, _session, done) =>
        done(address.startsWith('mechanic') ? new Error('no such mailbox') : undefined),
    });
    const [owner, mechanic] = mailDestinations(target({ port }));
    await owner?.deliver(message);
    await expect(mechanic?.deliver(message)).rejects.toThrow(/no such mailbox/);
    expect(letters.map(({ to }) => to)).toEqual([['owner@example.org']]);
  });

  it('goes over TLS from the first byte too', async () => {
    const { port, letters } = await postOffice({ secure: true });
    await mailDestination(target({ port, security: 'tls' })).deliver(message);
    expect(letters[0]?.secure).toBe(true);
  });

  it('goes in clear to a server on this computer when that was said', async () => {
    const { port, letters } = await postOffice({ hideSTARTTLS: true });
    await mailDestination(target({ port, security: 'none' })).deliver(message);
    expect(letters[0]?.secure).toBe(false);
  });

  it('is not sent in clear when STARTTLS was asked for and the server does not offer it', async () => {
    const { port, letters } = await postOffice({ disabledCommands: ['STARTTLS'] });
    await expect(mailDestination(target({ port })).deliver(message)).rejects.toThrow(/STARTTLS/i);
    expect(letters).toEqual([]);
  });

  it('is not sent to a server whose certificate is not trusted', async () => {
    const { port, letters } = await postOffice();
    const { ca: _, ...stranger } = target({ port });
    await expect(mailDestination(stranger).deliver(message)).rejects.toThrow(/certificate/i);
    expect(letters).toEqual([]);
  });

  it.each([
    ['a wrong password', {}, { user: 'boat', password: 'wrong' }, /535|authentication/i],
    [
      'a recipient the server refuses',
      {
        onRcptTo: ((address, _session, done) =>
          address.address.startsWith('mechanic')
            ? done(Object.assign(new Error('550 no such person'), { responseCode: 550 }))
            : done()) as NonNullable<SMTPServerOptions['onRcptTo']>,
      },
      {},
      /would not take mechanic@example\.org/,
    ],
    [
      'a full mailbox',
      {
        onMailFrom: ((_address, _session, done) =>
          done(Object.assign(new Error('452 mailbox full'), { responseCode: 452 }))) as NonNullable<
          SMTPServerOptions['onMailFrom']
        >,
      },
      {},
      /452/,
    ],
  ])('fails with a reason: %s', async (_what, options, over, words) => {
    const { port } = await postOffice(options);
    await expect(mailDestination(target({ port, ...over })).deliver(message)).rejects.toThrow(words);
  });

  it('fails with a reason when nothing listens', async () => {
    await expect(mailDestination(target({ port: 1 })).deliver(message)).rejects.toThrow(/ECONNREFUSED/);
  });
});
