/**
 * What moves over a chart: single runs that are pointed at, a run that is played, an earlier picture to compare with. It has
 * a canvas of its own on top of the chart, so that the chart below is never drawn anew for it.
 */
import type uPlot from 'uplot'
import type { Palette } from './palette.ts'
import type { Column } from './plot.ts'

/**
 * A line of its own, over values of x of its own, which may run to and fro. `lit`: one of several that are pointed at.
 * `played`: the one that is followed. `course`: the way of the nominal run. `before`, `before edge`: an earlier picture.
 */
export interface Curve {
  readonly x: Column
  readonly y: Column
  readonly look: 'lit' | 'played' | 'course' | 'before' | 'before edge'
  /** Only so many points are drawn, and the last of them is marked; left out: all, and none. */
  readonly upTo?: number
}

/** A place on the chart with its number, which a list beside the chart explains. */
export interface Dot {
  readonly x: number
  readonly y: number
  readonly number: number
}

export interface OverlayPicture {
  readonly curves: readonly Curve[]
  readonly dots: readonly Dot[]
}

export interface Overlay {
  draw(picture: OverlayPicture): void
  /** The same picture, after the chart below has changed. */
  redraw(): void
}

interface Look {
  readonly colour: `--${string}`
  readonly width: number
  readonly alpha: number
  readonly dash: readonly number[]
}

const LOOKS: Readonly<Record<Curve['look'], Look>> = {
  lit: { colour: '--ink', width: 1, alpha: 0.5, dash: [] },
  played: { colour: '--ink', width: 2.25, alpha: 1, dash: [] },
  course: { colour: '--ink', width: 1.5, alpha: 0.9, dash: [2, 3] },
  before: { colour: '--ink-soft', width: 1.5, alpha: 1, dash: [8, 3, 2, 3] },
  'before edge': { colour: '--ink-soft', width: 1, alpha: 0.8, dash: [1, 3] },
}

const MARK_px = 4.5
const DOT_px = 9

export function overlayOn(plot: uPlot, colour: Palette): Overlay {
  const canvas = document.createElement('canvas')
  canvas.style.cssText = 'position:absolute;inset:0;width:100%;height:100%;pointer-events:none'
  plot.over.prepend(canvas)
  let picture: OverlayPicture = { curves: [], dots: [] }

  const redraw = () => {
    const ctx = canvas.getContext('2d')
    if (ctx === null) return
    const { clientWidth, clientHeight } = plot.over
    const ratio = devicePixelRatio
    // Setting the size also clears it.
    canvas.width = Math.round(clientWidth * ratio)
    canvas.height = Math.round(clientHeight * ratio)
    ctx.scale(ratio, ratio)
    const many = picture.curves.filter(({ look }) => look === 'lit').length
    for (const curve of picture.curves) drawCurve(plot, ctx, colour, curve, many)
    for (const dot of picture.dots) drawDot(plot, ctx, colour, dot)
  }
  return {
    draw(next) {
      picture = next
      redraw()
    },
    redraw,
  }
}

function drawCurve(
  plot: uPlot,
  ctx: CanvasRenderingContext2D,
  colour: Palette,
  { x, y, look, upTo }: Curve,
  many: number,
): void {
  const { colour: name, width, alpha, dash } = LOOKS[look]
  ctx.save()
  ctx.strokeStyle = colour(name)
  ctx.lineWidth = width
  ctx.lineJoin = 'round'
  // Of many lines each is faint: where they lie close together, they are seen.
  ctx.globalAlpha = look === 'lit' ? Math.max(0.16, Math.min(0.6, 8 / many)) : alpha
  ctx.setLineDash([...dash])
  ctx.beginPath()
  const end = Math.min(upTo ?? x.length, x.length)
  let isDown = false
  let last: readonly [number, number] | null = null
  for (let n = 0; n < end; n += 1) {
    const [at, value] = [x[n], y[n]]
    if (at == null || value == null) {
      isDown = false
      continue
    }
    const [left, top] = [plot.valToPos(at, 'x'), plot.valToPos(value, 'y')]
    if (isDown) ctx.lineTo(left, top)
    else ctx.moveTo(left, top)
    isDown = true
    last = [left, top]
  }
  ctx.stroke()
  if (upTo !== undefined && last !== null) {
    ctx.fillStyle = colour(name)
    ctx.setLineDash([])
    ctx.beginPath()
    ctx.arc(last[0], last[1], MARK_px, 0, 2 * Math.PI)
    ctx.fill()
  }
  ctx.restore()
}

function drawDot(plot: uPlot, ctx: CanvasRenderingContext2D, colour: Palette, { x, y, number }: Dot): void {
  const { clientWidth, clientHeight } = plot.over
  const inside = (at: number, end: number) => Math.max(DOT_px + 1, Math.min(end - DOT_px - 1, at))
  const left = inside(plot.valToPos(x, 'x'), clientWidth)
  const top = inside(plot.valToPos(y, 'y'), clientHeight)
  ctx.save()
  ctx.beginPath()
  ctx.arc(left, top, DOT_px, 0, 2 * Math.PI)
  ctx.fillStyle = colour('--paper')
  ctx.fill()
  ctx.strokeStyle = colour('--ink')
  ctx.lineWidth = 1.25
  ctx.stroke()
  ctx.fillStyle = colour('--ink')
  ctx.font = '600 11px system-ui, sans-serif'
  ctx.textAlign = 'center'
  ctx.textBaseline = 'middle'
  ctx.fillText(String(number), left, top + 0.5)
  ctx.restore()
}
