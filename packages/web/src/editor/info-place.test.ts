import { expect, test } from 'vitest'
import { infoPlace } from './info-place.ts'

const box = (left: number, top: number, width: number, height: number) => ({
  left,
  right: left + width,
  top,
  bottom: top + height,
})
const style = (text: string) =>
  Object.fromEntries(text.split('; ').map(each => each.split(': ') as [string, string]))

test('beside the list where there is room, and no further than can be seen', () => {
  const list = box(140, 600, 250, 140)
  const found = style(infoPlace(list, box(140, 700, 250, 28), box(0, 0, 300, 120), box(0, 0, 1280, 800)))
  expect(found).toMatchObject({ left: '100%', 'max-width': '400px' })
  // It would end below what can be seen, and so begins higher than the chosen word.
  expect(600 + Number.parseFloat(found.top!) + 120).toBeLessThanOrEqual(800)
})

// On a telephone the explanation lay over the words that it explained, and ended beyond the edge.
test('on a telephone it lies below the list, or above it, and within the window', () => {
  const list = box(100, 300, 250, 140)
  const found = style(infoPlace(list, box(100, 320, 250, 28), box(0, 0, 300, 90), box(0, 0, 360, 800)))
  expect(found).toMatchObject({ top: '100%', width: '344px', left: '-92px' })
  const low = style(
    infoPlace(box(100, 600, 250, 140), box(100, 620, 250, 28), box(0, 0, 300, 90), box(0, 0, 360, 800)),
  )
  expect(low).toMatchObject({ bottom: '100%', 'max-height': '592px' })
})
