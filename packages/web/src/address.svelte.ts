/**
 * Where the brewer is: the part of the address after `#`, so that any machine can serve the screens as plain files.
 * `#/batch/NAME/log` is the screen “batch” with the further parts NAME and log.
 */
export interface Place {
  readonly screen: string
  readonly parts: readonly string[]
}

class Address {
  place = $state.raw<Place>(placeOf(location.hash))

  constructor() {
    addEventListener('hashchange', () => {
      this.place = placeOf(location.hash)
      scrollTo(0, 0)
    })
  }
}

export const address = new Address()

/** `addressOf('batch', id)`: for the `href` of a link. */
export function addressOf(screen: string, ...parts: readonly string[]): string {
  return `#/${[screen, ...parts].map(encodeURIComponent).join('/')}`
}

export function goTo(screen: string, ...parts: readonly string[]): void {
  location.hash = addressOf(screen, ...parts)
}

/** What is shown has got another name: the address follows, and the way back stays as it was. */
export function renameTo(screen: string, ...parts: readonly string[]): void {
  history.replaceState(null, '', addressOf(screen, ...parts))
  address.place = placeOf(location.hash)
}

function placeOf(hash: string): Place {
  const [screen = '', ...parts] = hash.replace(/^#\/?/, '').split('/').map(decoded)
  return { screen: screen === '' ? 'cellar' : screen, parts }
}

/** An address that somebody has cut short is taken as it stands. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part)
  } catch {
    return part
  }
}
