/**
 * Runs in the page of a batch (year-dragged.ts): ways to zoom its picture and to drag it, with one event for each frame. Each
 * answers with the time between frames, ms.
 */
globalThis.lookRound = (() => {
  const over = document.querySelector('[aria-label*="measured between"] .u-over')
  over.scrollIntoView({ block: 'center' })
  const { left, top, width, height } = over.getBoundingClientRect()
  const [x, y] = [left + width * 0.4, top + height / 2]
  const frame = () => new Promise(resolve => requestAnimationFrame(resolve))
  const times = async (count, act) => {
    const intervals = []
    let last = await frame()
    for (let n = 0; n < count; n++) {
      act(n)
      const now = await frame()
      intervals.push(now - last)
      last = now
    }
    return intervals
  }
  const wheel = deltaY =>
    over.dispatchEvent(
      new WheelEvent('wheel', {
        clientX: x,
        clientY: y,
        deltaY,
        ctrlKey: true,
        bubbles: true,
        cancelable: true,
      }),
    )
  const pointer = (kind, clientX) =>
    over.dispatchEvent(
      new PointerEvent(kind, {
        pointerId: 1,
        button: 0,
        clientX,
        clientY: y,
        bubbles: true,
        cancelable: true,
      }),
    )
  return {
    closer: () => times(100, () => wheel(-15)),
    further: () => times(100, () => wheel(15)),
    toAndFro: async () => {
      pointer('pointerdown', x)
      const intervals = await times(240, n => pointer('pointermove', x + Math.sin(n / 20) * width * 0.3))
      pointer('pointerup', x)
      return intervals
    },
  }
})()
