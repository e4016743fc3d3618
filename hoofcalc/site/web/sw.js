// Keeps the whole site on the device. A new version is fetched whole before it takes over, and only
// what has changed is fetched again.
"use strict";

const { version, files } = self.HOOFCALC;
const NAME = `hoofcalc-${version}`;
const SUMS = "sums-of-the-files";

async function older() {
  const found = [];
  for (const name of await caches.keys()) {
    if (!name.startsWith("hoofcalc-") || name === NAME) continue;
    const cache = await caches.open(name);
    const sums = await cache.match(SUMS);
    if (sums) found.push({ cache, sums: await sums.json() });
  }
  return found;
}

async function fill() {
  const cache = await caches.open(NAME);
  const before = await older();
  for (const [path, sum] of Object.entries(files)) {
    if (await cache.match(path)) continue;
    const same = before.find(({ sums }) => sums[path] === sum);
    const kept = same && (await same.cache.match(path));
    if (kept) {
      await cache.put(path, kept);
      continue;
    }
    const fresh = await fetch(path, { cache: "no-cache" });
    if (!fresh.ok) throw new Error(`${path}: ${fresh.status}`);
    await cache.put(path, fresh);
  }
  await cache.put(SUMS, new Response(JSON.stringify(files)));
}

self.addEventListener("install", (event) => event.waitUntil(fill()));

self.addEventListener("activate", (event) =>
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys())
        if (name.startsWith("hoofcalc-") && name !== NAME) await caches.delete(name);
      await self.clients.claim();
      for (const client of await self.clients.matchAll()) client.postMessage({ kept: true });
    })(),
  ),
);

self.addEventListener("message", ({ data }) => {
  if (data === "take over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== location.origin) return;
  event.respondWith(
    (async () => {
      const cache = await caches.open(NAME);
      const folder = new URL("./", location.href).href;
      const path = address.href.split(/[?#]/)[0] === folder ? "index.html" : event.request;
      const kept = await cache.match(path, { ignoreSearch: true });
      if (kept) return kept;
      const fresh = await fetch(event.request);
      // large parts that few pages need are kept when they have come once
      if (fresh.ok && address.pathname.includes("/runtime-")) await cache.put(event.request, fresh.clone());
      return fresh;
    })(),
  );
});
