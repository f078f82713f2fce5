import { openSerialStream } from '../board/serial-port.js';
import type { Kit } from '../kit/schema.js';
import type { LinkServer } from '../link/link-server.js';
import { secretFile } from '../link/secret-file.js';
import { keepTrying } from './keep-trying.js';
import type { NoticeBoard } from './notice-board.js';

/** A wire that opens and closes at once, as a pulled converter may, must not keep the guard's processor busy. */
const reopenAfterMs = 1_000;

export type OpeningLink = {
  readonly triedOnce: Promise<void>;
  /** Undefined over a serial wire, and until the port is taken. */
  readonly port: () => number | undefined;
  stop(): void;
};

/**
 * Opens the link and, over a serial wire, opens it again when the wire went. Until it is open the guard works without:
 * nothing is shown, and a notice says so at the buzzer and the lamp.
 */
export const openLink = (
  link: LinkServer,
  kit: Kit,
  notices: NoticeBoard,
  listen = kit.link.over === 'tcp' ? kit.link.listen : undefined,
): OpeningLink => {
  let port: number | undefined;
  let stopped = false;
  let again: NodeJS.Timeout | undefined;
  const { link: asked } = kit;
  const open = async (): Promise<void> => {
    if (listen !== undefined) port = await link.listen(listen);
    else if (asked.over === 'serial') {
      const wire = await openSerialStream(asked.path, asked.baud);
      if (stopped) wire.destroy();
      wire.once('close', () => {
        if (!stopped) again = setTimeout(() => (trying = begin()), reopenAfterMs);
      });
      link.serveWire(wire);
    }
    notices.clear('link');
  };
  const begin = () =>
    keepTrying(open, ({ message }) =>
      notices.post({
        about: 'link',
        message: `No host can be served: ${message} The node tries again until it works.`,
        actions: ['The guard and its buzzer work all the same.', 'Nothing is shown or stored until then.'],
      }),
    );
  let trying = begin();
  return {
    triedOnce: trying.triedOnce,
    port: () => port,
    stop: () => {
      stopped = true;
      clearTimeout(again);
      trying.stop();
    },
  };
};

/** The link secret, read now and not at the first arrival; a notice says when no host can send commands. */
export const openSecret = (path: string, notices: NoticeBoard): ReturnType<typeof secretFile> => {
  const secret = secretFile(path, {
    onTrouble: (message) =>
      notices.post({
        about: 'link-secret',
        message,
        actions: ['The guard and its buzzer work all the same.', 'Put the file or its folder right.'],
      }),
    onWell: () => notices.clear('link-secret'),
  });
  secret();
  return secret;
};
