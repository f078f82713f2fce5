import type { MailSettings } from '../../settings/schema.js';
import type { Destination, Message } from './message.js';

/** Mail settings of host.yaml, with the files it names already read. */
export type MailTarget = Omit<MailSettings, 'passwordFile' | 'caFile'> & {
  readonly password?: string;
  readonly ca?: string;
};

/** One for each recipient: a refused one is tried again, and the others do not get it twice. */
export const mailDestinations = (to: MailTarget): readonly Destination[] =>
  to.to.map((recipient) => mailDestination({ ...to, to: [recipient] }));

/** Sends each message as a plain text mail. Without `starttls` or `tls` nothing but a local server is meant. */
export const mailDestination = (to: MailTarget): Destination => {
  const timeoutMs = to.timeoutS * 1000;
  const openTransport = async () =>
    (await import('nodemailer')).createTransport({
      host: to.server,
      port: to.port,
      secure: to.security === 'tls',
      requireTLS: to.security === 'starttls',
      ignoreTLS: to.security === 'none',
      connectionTimeout: timeoutMs,
      greetingTimeout: timeoutMs,
      socketTimeout: timeoutMs,
      tls: { minVersion: 'TLSv1.2', ...(to.ca === undefined ? {} : { ca: to.ca }) },
      ...(to.user === undefined ? {} : { auth: { user: to.user, pass: to.password ?? '' } }),
      disableFileAccess: true,
      disableUrlAccess: true,
    });
  const domain = to.from.slice(to.from.lastIndexOf('@') + 1);
  return {
    name: `mail to ${to.to.join(', ')} through ${to.server}`,
    deliver: async (message: Message) => {
      const { rejected } = await (await openTransport()).sendMail({
        from: to.from,
        to: [...to.to],
        subject: message.subject,
        text: message.text,
        date: new Date(message.at),
        messageId: `<${message.id}@${domain}>`,
        // RFC 3834: stops out-of-office replies.
        headers: { 'Auto-Submitted': 'auto-generated' },
        priority: message.changes.some((c) => 'alert' in c && c.alert.priority === 'alarm')
          ? 'high'
          : 'normal',
      });
      if (rejected.length > 0) throw new Error(`${to.server} would not take ${rejected.join(', ')}`);
    },
  };
};
