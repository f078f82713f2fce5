import type { FastifyInstance, FastifyRequest } from 'fastify';
import { type Clock, comesFromHere, isLoopbackName } from '../../../node/index.js';
import { oneByOne } from '../../files/one-by-one.js';
import { type Access, type Role, somebodyMayAct } from './access-file.js';
import { Attempts } from './attempts.js';
import { hashToken, passPhraseMatches } from './secrets.js';
import { Sessions } from './sessions.js';

export type SessionNow = {
  /** Absent until a pass-phrase is given, where one is asked. */
  readonly role?: Role;
  readonly asksPassPhrase: boolean;
  /** Only a pass-phrase to watch was set: no alert can be acknowledged from any page. */
  readonly nobodyMayAct: boolean;
  readonly bench: boolean;
};

type GateOptions = {
  /** Nothing on loopback without a pass-phrase: a person at this computer may act. Read at every request. */
  readonly access: () => Access | undefined;
  /** Whether only this computer can reach us. */
  readonly loopback: boolean;
  readonly secure: boolean;
  readonly bench: boolean;
  readonly clock: Clock;
};

const cookieName = 'elbowroom';
/** What a page needs before anyone has come in: the files of the page itself, and the way in. */
const openPaths = /^\/(?:$|\?|index\.html|assets\/|mark\.svg|api\/(?:session|come-in|leave)$)/;

/** Access for no one: for a page on the network whose access file was removed. */
const noOne: Access = { passPhrases: {}, tokens: [] };

/** Every request passes here: right name, right origin, right role. The result says whether a request may still be served. */
export const gate = (app: FastifyInstance, options: GateOptions): ((request: FastifyRequest) => boolean) => {
  const { clock } = options;
  const accessNow = () => options.access() ?? (options.loopback ? undefined : noOne);
  const inTurn = oneByOne();
  const sessions = new Sessions();
  const attempts = new Attempts();

  const roleOf = (request: FastifyRequest): Role | undefined => {
    const access = accessNow();
    if (!access) return 'act';
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
      const wrongToken = request.headers.authorization !== undefined;
      if (wrongToken) {
        const waitS = attempts.begin(request.ip, clock.monotonicMs());
        if (waitS > 0) return reply.code(429).header('retry-after', waitS).send(tooMany(waitS));
      }
      return reply
        .code(401)
        .send({ error: 'come-in-first', message: 'Give the pass-phrase of this boat first.' });
    }
    if (acts && role !== 'act')
      return reply.code(403).send({ error: 'watch-only', message: 'This pass-phrase may watch, not act.' });
  });

  app.get('/api/session', (request): SessionNow => {
    const role = roleOf(request);
    const access = accessNow();
    return {
      ...(role && { role }),
      asksPassPhrase: access !== undefined,
      nobodyMayAct: access !== undefined && !somebodyMayAct(access),
      bench: options.bench,
    };
  });

  app.post('/api/come-in', async (request, reply) => {
    const nowMs = clock.monotonicMs();
    const waitS = attempts.begin(request.ip, nowMs);
    if (waitS > 0) return reply.code(429).header('retry-after', waitS).send(tooMany(waitS));
    const said = request.body;
    const passPhrase =
      said && typeof said === 'object' && 'passPhrase' in said ? String(said.passPhrase) : '';
    const access = accessNow();
    // One derivation at a time: each costs 32 MB, and the store shares the threads they run on.
    const role =
      access && passPhrase.length <= 1000 ? await inTurn(() => roleFor(access, passPhrase)) : undefined;
    const openedBy = role && access?.passPhrases[role];
    if (!role || openedBy === undefined)
      return reply.code(401).send({ error: 'wrong-pass-phrase', message: 'That is not the pass-phrase.' });
    attempts.right(request.ip, nowMs);
    const flags = `Path=/; HttpOnly; SameSite=Strict; Max-Age=2592000${options.secure ? '; Secure' : ''}`;
    reply.header('set-cookie', `${cookieName}=${sessions.begin(role, openedBy, nowMs)}; ${flags}`);
    return { role };
  });

  app.post('/api/leave', (request, reply) => {
    const cookie = cookieOf(request);
    if (cookie !== undefined) sessions.end(cookie);
    reply.header('set-cookie', `${cookieName}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0`);
    return {};
  });

  return (request) => roleOf(request) !== undefined;
};

const tooMany = (waitS: number) => ({
  error: 'too-many-tries',
  message: `Too many wrong tries. Wait ${waitS} s.`,
});

/** The greater role first: a phrase that opens both acts. */
const roleFor = async (access: Access, passPhrase: string): Promise<Role | undefined> => {
  for (const role of ['act', 'watch'] as const) {
    const hashed = access.passPhrases[role];
    if (hashed && (await passPhraseMatches(passPhrase, hashed))) return role;
  }
  return undefined;
};

/** One cookie of our own making needs no parser. */
const cookieOf = (request: FastifyRequest): string | undefined =>
  request.headers.cookie
    ?.split(/;\s*/)
    .find((pair) => pair.startsWith(`${cookieName}=`))
    ?.slice(cookieName.length + 1);
