/** Where what an offered word means is shown: beside the list of words, or where there is no room for it, below or above. */
export interface Box {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

/** Narrower than this, the explanation is a column of single words. CSS pixels. */
const LEAST_WIDTH = 220
const MOST_WIDTH = 400
const EDGE = 8

/**
 * @param list the words that are offered @param option the chosen one @param info the explanation as it is now
 * @param space what can be seen
 * @returns a style relative to the list; nothing of the list is covered, and nothing lies outside of what can be seen
 */
export function infoPlace(list: Box, option: Box, info: Box, space: Box): string {
  const height = info.bottom - info.top
  const roomRight = space.right - EDGE - list.right
  if (roomRight >= LEAST_WIDTH) {
    const top = Math.max(space.top, Math.min(option.top, space.bottom - EDGE - height)) - list.top
    return `left: 100%; top: ${top}px; max-width: ${Math.min(MOST_WIDTH, roomRight)}px`
  }
  const roomLeft = list.left - EDGE - space.left
  if (roomLeft >= LEAST_WIDTH) {
    const top = Math.max(space.top, Math.min(option.top, space.bottom - EDGE - height)) - list.top
    return `right: 100%; top: ${top}px; max-width: ${Math.min(MOST_WIDTH, roomLeft)}px`
  }
  // As wide as what can be seen, and scrolled where even that is too low.
  const left = space.left + EDGE - list.left
  const width = Math.min(MOST_WIDTH, space.right - space.left - 2 * EDGE)
  const [below, above] = [space.bottom - EDGE - list.bottom, list.top - EDGE - space.top]
  const side = below >= height || below >= above ? 'top' : 'bottom'
  const room = Math.max(40, side === 'top' ? below : above)
  return `left: ${left}px; ${side}: 100%; width: ${width}px; max-width: none; max-height: ${room}px; overflow-y: auto`
}
