// Serves what the page has kept on this device, so that it works without a network; all else goes to the site.
self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', event => event.waitUntil(self.clients.claim()));
self.addEventListener('fetch', event => {
  const {request} = event;
  if (request.method !== 'GET' || request.cache === 'no-store') return;
  const address = request.mode === 'navigate' && request.url.endsWith('/') ? `${request.url}index.html` : request.url;
  event.respondWith(caches.match(address, {ignoreSearch: true}).then(kept => kept ?? fetch(request)));
});
