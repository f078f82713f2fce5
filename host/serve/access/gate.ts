import type { FastifyInstance, FastifyRequest } from 'fastify';
import { type Clock, comesFromHere, isLoopbackName } from '../../../node/index.js';
import type { Access, Role } from './access-file.js';
import { closed } from './access-now.js';
import { Attempts, isThisComputer } from './attempts.js';
import { hashToken } from './secrets.js';
import { cookieOf, sessionRoutes, tooMany } from './session-routes.js';
import { Sessions } from './sessions.js';

type GateOptions = {
  /** Nothing on loopback without a pass-phrase: a person at this computer may act. Read at every request. */
  readonly access: () => Access | undefined;
  /** Whether only this computer can reach us. */
  readonly loopback: boolean;
  readonly secure: boolean;
  readonly bench: boolean;
  readonly clock: Clock;
};

/**
 * What a page needs before anyone has signed in: its own files, of which a browser requests the manifest without the
 * cookie, and the sign-in.
 */
const openPaths =
  /^\/(?:$|\?|index\.html|assets\/|(?:mark\.svg|icon\.svg|icon-\d+\.png|first-paint\.js|manifest\.webmanifest|sw\.js)(?:$|\?)|api\/(?:session|sign-in)$)/;

/** Every request passes here: right name, right origin, right role. The result says whether a request may still be served. */
export const gate = (app: FastifyInstance, options: GateOptions): ((request: FastifyRequest) => boolean) => {
  const { clock } = options;
  const accessNow = () => options.access() ?? (options.loopback ? undefined : closed);
  const sessions = new Sessions();
  // Apart, so that a program that goes on with a revoked token keeps no person on its computer from signing in.
  const [attempts, wrongTokens] = [new Attempts(), new Attempts()];

  const roleOf = (request: FastifyRequest): Role | undefined => {
    const access = accessNow();
    if (!access) return 'act';
    // A pass-phrase that cannot be read must not hide an alarm from the helm: on the boat's own computer, which anyone who
    // is at it can read anyway, that is the greater danger. Elsewhere no one is admitted.
    if (access === closed)
      return isThisComputer(request.ip) && isLoopbackName(request.headers.host) ? 'watch' : undefined;
    const nowMs = clock.monotonicMs();
    const bearer = request.headers.authorization?.match(/^Bearer (\S+)$/)?.[1];
    if (bearer !== undefined) return access.tokens.find(({ hash }) => hash === hashToken(bearer))?.role;
    const cookie = cookieOf(request);
    return cookie === undefined ? undefined : sessions.roleOf(cookie, access.passPhrases, nowMs);
  };

  app.addHook('onRequest', async (request, reply) => {
    if (options.loopback && !isLoopbackName(request.headers.host))
      return reply.code(421).send({
        error: 'wrong-name',
        message: 'This page answers to localhost only. Listening wider needs a pass-phrase: see README.',
      });
    const acts = request.method !== 'GET' && request.method !== 'HEAD';
    if (acts && !comesFromHere(request.headers))
      return reply
        .code(403)
        .send({ error: 'other-origin', message: 'Actions are taken only from this page itself.' });
    if (openPaths.test(request.url)) return;
    const role = roleOf(request);
    if (role === undefined) {
      if (request.headers.authorization !== undefined) {
        const waitS = wrongTokens.begin(request.ip, clock.monotonicMs());
        if (waitS > 0) return reply.code(429).header('retry-after', waitS).send(tooMany(waitS));
      }
      return reply
        .code(401)
        .send({ error: 'sign-in-first', message: 'Give the pass-phrase of this boat first.' });
    }
    if (acts && role !== 'act')
      return reply.code(403).send({ error: 'watch-only', message: 'This pass-phrase may watch, not act.' });
  });

  sessionRoutes(app, { ...options, accessNow, roleOf, sessions, attempts });
  return (request) => roleOf(request) !== undefined;
};
