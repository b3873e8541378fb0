import type uPlot from 'uplot'
import type { Palette } from './palette.ts'

/** A stage, from where it begins. */
export interface Mark {
  readonly at: number
  readonly name: string
}

/** A height that must not be passed. */
export interface Limit {
  readonly value: number
  readonly name: string
}

/** Where each stage begins, as upright lines with their names. */
export function drawMarks(plot: uPlot, marks: readonly Mark[], colour: Palette): void {
  const { ctx, bbox } = plot
  const ratio = devicePixelRatio
  within(plot, () => {
    ctx.textAlign = 'left'
    for (const [index, mark] of marks.entries()) {
      const left = plot.valToPos(mark.at, 'x', true)
      const next = marks[index + 1]
      const end = next === undefined ? bbox.left + bbox.width : plot.valToPos(next.at, 'x', true)
      const [from, to] = left <= end ? [left, end] : [end, left]
      ctx.strokeStyle = colour('--rule')
      ctx.beginPath()
      ctx.moveTo(left, bbox.top)
      ctx.lineTo(left, bbox.top + bbox.height)
      ctx.stroke()
      ctx.fillStyle = colour('--ink-soft')
      const start = Math.max(from, bbox.left)
      const text = fitted(ctx, mark.name, Math.min(to, bbox.left + bbox.width) - start - 10 * ratio)
      ctx.fillText(text, start + 5 * ratio, bbox.top + 3 * ratio)
    }
  })
}

export function drawLimits(plot: uPlot, limits: readonly Limit[], colour: Palette): void {
  const { ctx, bbox } = plot
  const ratio = devicePixelRatio
  within(plot, () => {
    ctx.textAlign = 'right'
    for (const { value, name } of limits) {
      const top = plot.valToPos(value, 'y', true)
      if (top < bbox.top || top > bbox.top + bbox.height) continue
      ctx.strokeStyle = colour('--ink-soft')
      ctx.setLineDash([ratio, 3 * ratio])
      ctx.beginPath()
      ctx.moveTo(bbox.left, top)
      ctx.lineTo(bbox.left + bbox.width, top)
      ctx.stroke()
      ctx.setLineDash([])
      ctx.fillStyle = colour('--ink-soft')
      ctx.fillText(name, bbox.left + bbox.width - 4 * ratio, top + 3 * ratio)
    }
  })
}

function within(plot: uPlot, draw: () => void): void {
  const { ctx, bbox } = plot
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  ctx.font = `${12 * devicePixelRatio}px system-ui, sans-serif`
  ctx.textBaseline = 'top'
  ctx.lineWidth = devicePixelRatio
  draw()
  ctx.restore()
}

/** As much of a name as there is room for. */
function fitted(ctx: CanvasRenderingContext2D, text: string, room: number): string {
  if (ctx.measureText(text).width <= room) return text
  for (let length = text.length - 1; length > 1; length -= 1) {
    const cut = `${text.slice(0, length).trimEnd()}…`
    if (ctx.measureText(cut).width <= room) return cut
  }
  return ''
}
