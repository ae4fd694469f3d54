// Keeps the static files and one page that tells that there is no network, and nothing else: no page
// of the shop is ever put by. The server writes `files` and `kept` (the name of the cache) above.
const plain = (address) => new Request(address, { credentials: "omit", cache: "reload" });
const install = async () => {
  const cache = await caches.open(kept);
  await cache.addAll([...files, "/offline"].map(plain));
  await self.skipWaiting();
};
const activate = async () => {
  for (const name of await caches.keys()) if (name !== kept) await caches.delete(name);
  await self.registration.navigationPreload?.enable();
  await self.clients.claim();
};
// A page that hangs is given up too: on a weak signal a browser waits for minutes.
const page = async (event) => {
  const late = new Promise((_, give) => setTimeout(give, 15000, new Error("no answer")));
  const asked = (async () => (await event.preloadResponse) || fetch(event.request))();
  try {
    return await Promise.race([asked, late]);
  } catch {
    return caches.match("/offline");
  }
};
const file = async (request) => {
  const found = await caches.match(request);
  if (found) return found;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(kept)).put(request, answer.clone());
  return answer;
};
self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => {
  const { request } = event, address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(event));
  else if (address.pathname.startsWith("/assets/")) event.respondWith(file(request));
});
