import { readFileSync } from 'node:fs';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';

type FetchListener = (event: { request: { method: string; url: string }; respondWith(): void }) => void;

/** Which requests the service worker answers itself, when it is served from `base`. */
const takesFrom = (base: string): ((path: string) => boolean) => {
  let onFetch: FetchListener | undefined;
  const self = {
    location: new URL('sw.js', base),
    addEventListener: (name: string, listener: FetchListener) => {
      if (name === 'fetch') onFetch = listener;
    },
  };
  const text = readFileSync(new URL('../../../host/page/public/sw.js', import.meta.url), 'utf8');
  const cache = { match: async () => undefined, put: async () => {}, delete: async () => false };
  const caches = { ...cache, open: async () => cache };
  runInNewContext(text, { self, URL, Response, caches, fetch: async () => new Response('') });
  return (path) => {
    let taken = false;
    const respondWith = () => {
      taken = true;
    };
    onFetch?.({ request: { method: 'GET', url: new URL(path, base).href }, respondWith });
    return taken;
  };
};

it.each(['http://localhost:8470/', 'https://boat.example/elbowroom/'])(
  'from %s it keeps the page, its files and the present, and no other path of the host',
  (base) => {
    const takes = takesFrom(base);
    const page = readFileSync(new URL('../../../host/page/index.html', import.meta.url), 'utf8');
    const named = [...page.matchAll(/(?:href|src)="\.\/([^"]+)"/g)].map(([, path = '']) => path);
    const built = named.filter((path) => !/^(style\/|main\.)/.test(path));
    expect(built).toEqual(['mark.svg', 'manifest.webmanifest', 'first-paint.js', 'api/now']);
    for (const path of ['', 'index.html', 'assets/index-abc.js', 'icon.svg', 'icon-192.png', ...built])
      expect([path, takes(path)]).toEqual([path, true]);
    for (const path of ['metrics', 'metrics?x=/assets/', 'report.pdf', 'api/history', 'x/api/now', 'sw.js'])
      expect([path, takes(path)]).toEqual([path, false]);
  },
);
