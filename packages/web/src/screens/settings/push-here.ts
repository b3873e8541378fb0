/**
 * Web push in this browser: whether it can be had, and the subscription that the cellar needs (Push API, RFC 8030). A
 * browser asks its user for leave only when it is made to, so nothing here asks before somebody has pressed a button.
 */
import type { DeviceRequest } from '@attemper/server/http/published.ts'

export interface PushMeans {
  /** The page came over TLS, or from the machine at which somebody sits. */
  readonly isSecure: boolean
  readonly hasWorker: boolean
  readonly hasPush: boolean
  /** null: this browser shows no notices at all. */
  readonly permission: NotificationPermission | null
}

export interface Obstacle {
  readonly what: string
  readonly cure: string
}

export function pushMeans(): PushMeans {
  return {
    isSecure: isSecureContext,
    hasWorker: 'serviceWorker' in navigator,
    hasPush: 'PushManager' in globalThis,
    permission: 'Notification' in globalThis ? Notification.permission : null,
  }
}

/** What stands in the way, in plain words; null: nothing that is known before it is tried. */
export function pushObstacle({ isSecure, hasWorker, hasPush, permission }: PushMeans): Obstacle | null {
  if (!isSecure) {
    return {
      what: 'Browsers take notices only from pages that came by https, or from the machine of the cellar itself; this page came by plain http.',
      cure: 'Start the cellar with a certificate (--tls-cert and --tls-key), and open it by https.',
    }
  }
  if (!hasWorker || !hasPush || permission === null) {
    return {
      what: 'This browser has no web push.',
      cure: 'Try another one. On some telephones and tablets the page has to be put on the home screen first, and opened from there.',
    }
  }
  if (permission === 'denied') {
    return {
      what: 'This browser has been told to show no notices of this page.',
      cure: 'Allow them in the browser’s settings for this page (often behind the sign left of its address), and load it again.',
    }
  }
  return null
}

/** Asks for leave and subscribes; throws an Error whose message can be shown. */
export async function subscribeHere(key: string, name: string): Promise<DeviceRequest> {
  if ((await Notification.requestPermission()) !== 'granted') {
    throw new Error('The browser was not allowed to show notices, so nothing was changed.')
  }
  const registration = await navigator.serviceWorker.getRegistration()
  if (registration === undefined) {
    throw new Error('The part of the screens that receives notices is not there yet; load the page again.')
  }
  const subscription = await subscribed(await active(registration), key)
  const { endpoint, keys } = subscription.toJSON()
  if (endpoint === undefined || keys?.p256dh === undefined || keys.auth === undefined) {
    throw new Error('The browser gave a subscription without its keys.')
  }
  return { name, endpoint, keys: { p256dh: keys.p256dh, auth: keys.auth } }
}

async function active(registration: ServiceWorkerRegistration): Promise<ServiceWorkerRegistration> {
  return registration.active === null ? navigator.serviceWorker.ready : registration
}

async function subscribed(
  { pushManager }: ServiceWorkerRegistration,
  key: string,
): Promise<PushSubscription> {
  try {
    return await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key })
  } catch (error) {
    throw new Error(
      `The browser could not subscribe at its push service (${error instanceof Error ? error.message : String(error)}). ` +
        'A private window can not be told, and the browser has to reach that service over the Internet.',
    )
  }
}

/** “Telephone” or “Computer”: what a device is called until its owner says something better. */
export function usualDeviceName(isTouched: boolean, isNarrow: boolean): string {
  if (!isTouched) return 'Computer'
  return isNarrow ? 'Telephone' : 'Tablet'
}

const KEPT_AS = 'push device'

/** Which of the cellar's devices this browser is; null: none. */
export function keptDevice(): string | null {
  try {
    return localStorage.getItem(KEPT_AS)
  } catch {
    return null
  }
}

export function keepDevice(id: string | null): void {
  try {
    if (id === null) localStorage.removeItem(KEPT_AS)
    else localStorage.setItem(KEPT_AS, id)
  } catch {
    // Then it is one of the list like any other.
  }
}
