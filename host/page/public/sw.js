/*
  A page that was open before opens again without the host: its own files from here, and the last figures it was given,
  marked as kept, so that they are shown as old. Nothing else of the interface is kept, and nothing is kept of a host that
  says no.
*/
const kept = 'elbowroom-2';

self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', (event) =>
  event.waitUntil(Promise.all([self.clients.claim(), removeOlder()])),
);

/** What an earlier version of this file kept. */
const removeOlder = async () => {
  const names = await caches.keys();
  await Promise.all(
    names.filter((name) => /^elbowroom-/.test(name) && name !== kept).map((name) => caches.delete(name)),
  );
};

/** By name, because the host answers other paths too: /metrics and files to download are never kept. */
const pageFiles = /^(|index\.html|first-paint\.js|manifest\.webmanifest|mark\.svg|icon\.svg|icon-\d+\.png)$/;
const nameOf = (url) => url.pathname.slice(new URL('./', self.location).pathname.length);
const isAsset = (url) => nameOf(url).startsWith('assets/');
const isNow = (url) => nameOf(url) === 'api/now';
const isPage = (url) => isAsset(url) || pageFiles.test(nameOf(url));

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
      const ours = data.keep.map((url) => new URL(url)).filter((url) => isPage(url) || isNow(url));
      await Promise.allSettled(ours.map(async ({ href }) => (await cache.match(href)) ?? cache.add(href)));
    });
});
