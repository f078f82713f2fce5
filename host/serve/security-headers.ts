import fastifyHelmet from '@fastify/helmet';
import type { FastifyInstance } from 'fastify';

/** Half a year: a boat that is laid up for a winter is still asked for over TLS in spring. */
const askOverTlsS = 180 * 86_400;

/**
 * Nothing from elsewhere, nothing inline, no frame around us: the page works offline and cannot be borrowed. Under TLS a
 * browser that has seen a certificate it trusts asks over TLS from then on.
 */
export const securityHeaders = async (app: FastifyInstance, tls: boolean): Promise<void> => {
  await app.register(fastifyHelmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'data:'],
        fontSrc: ["'self'"],
        connectSrc: ["'self'"],
        manifestSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
    crossOriginOpenerPolicy: { policy: 'same-origin' },
    crossOriginResourcePolicy: { policy: 'same-origin' },
    referrerPolicy: { policy: 'no-referrer' },
    strictTransportSecurity: tls ? { maxAge: askOverTlsS, includeSubDomains: false } : false,
  });
  app.addHook('onRequest', async (_request, reply) => {
    reply.header('permissions-policy', 'camera=(), microphone=(), geolocation=()');
  });
};
