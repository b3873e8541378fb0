/**
 * Keeps the files of the screens in the browser, so that they open when the cellar is out of reach (and then say so), and
 * shows what the cellar pushes. It never keeps an answer of the cellar: an old temperature must not look like a new one.
 */
import type { PushMessage } from '@attemper/server/http/published.ts'

declare const self: ServiceWorkerGlobalScope

/** Written by the build: every file of the screens. */
const LIST = './files.json'
const SHELL = './'
const ALSO = [SHELL, './manifest.webmanifest', './mark.svg']
const KEPT = 'screens-'

self.addEventListener('install', event => {
  event.waitUntil(keepFiles().then(() => self.skipWaiting()))
})

self.addEventListener('activate', event => {
  event.waitUntil(forgetOldFiles().then(() => self.clients.claim()))
})

self.addEventListener('fetch', event => {
  const { request } = event
  const url = new URL(request.url)
  if (request.method !== 'GET' || url.origin !== self.location.origin) return
  if (request.mode === 'navigate') event.respondWith(fromCellar(request, SHELL))
  else if (/\/assets\/[^/]+$/.test(url.pathname)) event.respondWith(fromHere(request))
})

self.addEventListener('push', event => {
  const message = event.data?.json() as PushMessage | undefined
  if (message === undefined) return
  const options = {
    body: message.text,
    // The end of an alarm takes the place of its beginning.
    tag: message.alarm === null ? message.id : `alarm-${message.alarm}`,
    renotify: message.kind === 'raised',
    requireInteraction: message.kind === 'raised' && message.priority === 'high',
    timestamp: message.at_ms,
    icon: './mark.svg',
    data: { address: message.batch === null ? '#/cellar' : `#/batch/${encodeURIComponent(message.batch)}` },
  }
  event.waitUntil(self.registration.showNotification(message.subject, options))
})

self.addEventListener('notificationclick', event => {
  event.notification.close()
  const { address } = event.notification.data as { readonly address: string }
  event.waitUntil(open(new URL(address, self.registration.scope).href))
})

/** A new set of files gets a place of its own, so that the pages that are open keep theirs. */
async function keepFiles(): Promise<void> {
  const text = await (await fetch(LIST, { cache: 'no-store' })).text()
  const names = JSON.parse(text) as readonly string[]
  const cache = await caches.open(await nameFor(text))
  await cache.addAll([...ALSO, ...names.map(name => `./${name}`)])
}

async function forgetOldFiles(): Promise<void> {
  const current = await nameFor(await (await fetch(LIST, { cache: 'no-store' })).text())
  for (const name of await caches.keys()) {
    if (name.startsWith(KEPT) && name !== current) await caches.delete(name)
  }
}

async function nameFor(list: string): Promise<string> {
  const hash = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(list))
  return KEPT + [...new Uint8Array(hash).slice(0, 8)].map(byte => byte.toString(16).padStart(2, '0')).join('')
}

async function fromCellar(request: Request, otherwise: string): Promise<Response> {
  try {
    return await fetch(request)
  } catch (error) {
    const kept = await caches.match(otherwise)
    if (kept === undefined) throw error
    return kept
  }
}

/** These files have a name that changes with what is in them. */
async function fromHere(request: Request): Promise<Response> {
  return (await caches.match(request)) ?? fetch(request)
}

async function open(address: string): Promise<void> {
  const pages = await self.clients.matchAll({ type: 'window', includeUncontrolled: true })
  const page = pages[0]
  if (page === undefined) {
    await self.clients.openWindow(address)
    return
  }
  await page.navigate(address)
  await page.focus()
}
