import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Clock } from '../../../node/index.js';
import { oneByOne } from '../../files/one-by-one.js';
import { type Access, type Role, someoneMayAct } from './access-file.js';
import { closed } from './access-now.js';
import { type Attempts, isThisComputer } from './attempts.js';
import { passPhraseMatches } from './secrets.js';
import type { Sessions } from './sessions.js';

const cookieName = 'elbowroom';

export type SessionNow = {
  /** Absent until a pass-phrase is given, where one is asked. */
  readonly role?: Role;
  readonly asksPassPhrase: boolean;
  /** Only a pass-phrase to watch was set, or none can be read: no alert can be acknowledged from any page. */
  readonly noOneMayAct: boolean;
  readonly bench: boolean;
};

type Gate = {
  readonly accessNow: () => Access | undefined;
  readonly roleOf: (request: FastifyRequest) => Role | undefined;
  readonly sessions: Sessions;
  readonly attempts: Attempts;
  readonly secure: boolean;
  readonly bench: boolean;
  readonly clock: Clock;
};

/** Sign in with a pass-phrase, and who is signed in. */
export const sessionRoutes = (app: FastifyInstance, gate: Gate): void => {
  const { accessNow, roleOf, sessions, attempts, secure, bench, clock } = gate;
  // One derivation at a time: each costs 32 MB, and the store shares the threads they run on. This computer has a line of
  // its own, so that the helm does not wait behind thirty guesses from the network.
  const [inTurnHere, inTurn] = [oneByOne(), oneByOne()];

  app.get('/api/session', (request): SessionNow => {
    const role = roleOf(request);
    const access = accessNow();
    return {
      ...(role && { role }),
      asksPassPhrase: access !== undefined,
      noOneMayAct: access !== undefined && !someoneMayAct(access),
      bench: bench,
    };
  });

  app.post('/api/sign-in', async (request, reply) => {
    const access = accessNow();
    if (access === closed) return reply.code(503).send(noOneCanSignIn);
    const nowMs = clock.monotonicMs();
    const waitS = attempts.begin(request.ip, nowMs);
    if (waitS > 0) return reply.code(429).header('retry-after', waitS).send(tooMany(waitS));
    const said = request.body;
    const passPhrase =
      said && typeof said === 'object' && 'passPhrase' in said ? String(said.passPhrase) : '';
    const line = isThisComputer(request.ip) ? inTurnHere : inTurn;
    const role =
      access && passPhrase.length <= 1000 ? await line(() => roleFor(access, passPhrase)) : undefined;
    const openedBy = role && access?.passPhrases[role];
    if (!role || openedBy === undefined)
      return reply.code(401).send({ error: 'wrong-pass-phrase', message: 'That is not the pass-phrase.' });
    attempts.right(request.ip, nowMs);
    const flags = `Path=/; HttpOnly; SameSite=Strict; Max-Age=2592000${secure ? '; Secure' : ''}`;
    reply.header('set-cookie', `${cookieName}=${sessions.begin(role, openedBy, nowMs)}; ${flags}`);
    return { role };
  });
};

const noOneCanSignIn = {
  error: 'access-not-read',
  message:
    'No one can sign in: the pass-phrases cannot be read. On the boat’s computer: elbowroom access --role act',
};

export const tooMany = (waitS: number) => ({
  error: 'too-many-tries',
  message: `Too many failed logins. Wait ${waitS} s.`,
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
export const cookieOf = (request: FastifyRequest): string | undefined =>
  request.headers.cookie
    ?.split(/;\s*/)
    .find((pair) => pair.startsWith(`${cookieName}=`))
    ?.slice(cookieName.length + 1);
