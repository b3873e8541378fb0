import type { Span } from './span.ts'

/** How far a zoom may go, and where the axis ends. */
export interface ZoomLimits extends Span {
  readonly shortest: number
}

/** The span after a zoom about a place: a factor below 1 looks closer. */
export function zoomed(span: Span, at: number, factor: number, limits: ZoomLimits): Span {
  const width = span.high - span.low
  const wanted = Math.max(limits.shortest, Math.min(limits.high - limits.low, width * factor))
  const share = width > 0 ? (at - span.low) / width : 0.5
  return within({ low: at - share * wanted, high: at + (1 - share) * wanted }, limits)
}

/** The span moved along the axis, as far as that goes. */
export function moved(span: Span, by: number, limits: ZoomLimits): Span {
  return within({ low: span.low + by, high: span.high + by }, limits)
}

/** Moved back inside, no longer than the whole. */
export function within({ low, high }: Span, limits: ZoomLimits): Span {
  const width = Math.min(high - low, limits.high - limits.low)
  const from = Math.max(limits.low, Math.min(limits.high - width, low))
  return { low: from, high: from + width }
}

export interface Zoomable {
  span(): Span
  limits(): ZoomLimits
  show(span: Span): void
}

const STEP = 1.4
const KEYS: Readonly<Record<string, number>> = { '+': 1 / STEP, '=': 1 / STEP, '-': STEP, _: STEP }
const SHIFT = 0.2

/**
 * Lets a chart be moved by dragging, and zoomed by the wheel with Ctrl, by two fingers, and by the keys + and −; with Shift
 * the arrow keys move it. Plain wheels and fingers that move upwards scroll the page as everywhere. Returns how to end it.
 */
export function letZoom(area: HTMLElement, host: HTMLElement, zoom: Zoomable): () => void {
  const pointers = new Map<number, number>()
  area.style.touchAction = 'pan-y'

  const place = (client: number) => {
    const { left, width } = area.getBoundingClientRect()
    const { low, high } = zoom.span()
    return low + ((client - left) / Math.max(1, width)) * (high - low)
  }
  const length = (pixels: number) => {
    const { low, high } = zoom.span()
    return (pixels / Math.max(1, area.clientWidth)) * (high - low)
  }
  const onWheel = (event: WheelEvent) => {
    if (event.ctrlKey || event.metaKey) {
      event.preventDefault()
      const factor = Math.exp(Math.max(-1, Math.min(1, event.deltaY * 0.004)))
      zoom.show(zoomed(zoom.span(), place(event.clientX), factor, zoom.limits()))
    } else if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
      event.preventDefault()
      zoom.show(moved(zoom.span(), length(event.deltaX), zoom.limits()))
    }
  }
  const onDown = (event: PointerEvent) => {
    if (event.button !== 0) return
    pointers.set(event.pointerId, event.clientX)
  }
  const onMove = (event: PointerEvent) => {
    const before = pointers.get(event.pointerId)
    if (before === undefined) return
    if (pointers.size === 1) {
      zoom.show(moved(zoom.span(), length(before - event.clientX), zoom.limits()))
    } else {
      const other = [...pointers].find(([id]) => id !== event.pointerId)?.[1] ?? before
      const [was, is] = [Math.abs(before - other), Math.abs(event.clientX - other)]
      if (was > 8 && is > 8)
        zoom.show(zoomed(zoom.span(), place((event.clientX + other) / 2), was / is, zoom.limits()))
    }
    pointers.set(event.pointerId, event.clientX)
  }
  const onUp = (event: PointerEvent) => pointers.delete(event.pointerId)
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return
    const span = zoom.span()
    const factor = KEYS[event.key]
    const direction = event.key === 'ArrowLeft' ? -1 : event.key === 'ArrowRight' ? 1 : 0
    if (factor !== undefined) zoom.show(zoomed(span, (span.low + span.high) / 2, factor, zoom.limits()))
    else if (event.shiftKey && direction !== 0) {
      zoom.show(moved(span, direction * SHIFT * (span.high - span.low), zoom.limits()))
    } else return
    event.preventDefault()
    event.stopImmediatePropagation()
  }
  area.addEventListener('wheel', onWheel, { passive: false })
  area.addEventListener('pointerdown', onDown)
  addEventListener('pointermove', onMove)
  addEventListener('pointerup', onUp)
  addEventListener('pointercancel', onUp)
  host.addEventListener('keydown', onKey, true)
  return () => {
    area.removeEventListener('wheel', onWheel)
    area.removeEventListener('pointerdown', onDown)
    removeEventListener('pointermove', onMove)
    removeEventListener('pointerup', onUp)
    removeEventListener('pointercancel', onUp)
    host.removeEventListener('keydown', onKey, true)
  }
}
