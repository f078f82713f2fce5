/*
  A page that was open before opens again without the host: its own files from here, and the last figures it was given,
  marked as kept, so that they are shown as old. Nothing else of the interface is kept, and nothing is kept of a host that
  says no.
*/
const kept = 'elbowroom-1';

self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));

const isAsset = (url) => url.pathname.includes('/assets/');
const isNow = (url) => url.pathname.endsWith('/api/now');
const isPage = (url) => !url.pathname.includes('/api/');

const fromHost = async (request) => {
  const answer = await fetch(request);
  const cache = await caches.open(kept);
  if (answer.ok) await cache.put(request.url, answer.clone());
  else await cache.delete(request.url);
  return answer;
};

const fromHere = async (request) => {
  const answer = await caches.match(request.url);
  if (!answer) return Response.error();
  if (!isNow(new URL(request.url))) return answer;
  const text = await answer.text();
  return new Response(text.replace('{', '{"kept":true,'), {
    headers: { 'content-type': 'application/json' },
  });
};

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin || !(isPage(url) || isNow(url))) return;
  event.respondWith(
    isAsset(url)
      ? caches.match(request.url).then((answer) => answer ?? fromHost(request))
      : fromHost(request).catch(() => fromHere(request)),
  );
});

/** What the page had loaded before this was there; older files of other versions go. */
self.addEventListener('message', ({ data }) => {
  if (Array.isArray(data?.keep))
    void caches.open(kept).then(async (cache) => {
      for (const { url } of await cache.keys())
        if (isAsset(new URL(url)) && !data.keep.includes(url)) await cache.delete(url);
      await Promise.allSettled(data.keep.map(async (url) => (await cache.match(url)) ?? cache.add(url)));
    });
});
