import uPlot from 'uplot'
import 'uplot/dist/uPlot.min.css'
import { onLookChange } from './palette.ts'

export interface LivePlot {
  readonly plot: uPlot
  setData(data: uPlot.AlignedData): void
  destroy(): void
}

/** Columns of a chart as they come from the core; uPlot takes them as they are. */
export type Column = readonly (number | null)[]

/**
 * A plot that is as wide as its host, is drawn anew when light and dark change, and whose cursor can be moved by the arrow
 * keys (Page up and down: by twelve). The host must be able to take the focus.
 */
export function livePlot(
  host: HTMLElement,
  setup: Omit<uPlot.Options, 'width' | 'height'>,
  data: readonly Column[],
  height: number,
): LivePlot {
  const plot = new uPlot(
    { ...setup, width: widthFor(host), height, legend: { show: false } },
    data as unknown as uPlot.AlignedData,
    host,
  )
  const fit = () => {
    const width = widthFor(host)
    if (width !== plot.width) plot.setSize({ width, height })
  }
  const sizes = new ResizeObserver(fit)
  sizes.observe(host)
  const stopLook = onLookChange(() => {
    fit()
    plot.redraw(false, true)
  })
  const onKey = (event: KeyboardEvent) => moveCursor(plot, event)
  host.addEventListener('keydown', onKey)
  return {
    plot,
    setData: next => plot.setData(next),
    destroy() {
      sizes.disconnect()
      stopLook()
      host.removeEventListener('keydown', onKey)
      plot.destroy()
    },
  }
}

const STEPS: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowRight: 1, PageUp: -12, PageDown: 12 }

function moveCursor(plot: uPlot, event: KeyboardEvent): void {
  const step = STEPS[event.key]
  if (step === undefined || event.ctrlKey || event.altKey || event.metaKey) return
  event.preventDefault()
  const last = plot.data[0].length - 1
  const move = step * (plot.scales.x?.dir === -1 ? -1 : 1)
  const from = plot.cursor.idx ?? (move > 0 ? -1 : last + 1)
  const index = Math.max(0, Math.min(last, from + move))
  const at = plot.data[0][index]
  if (at === undefined) return
  plot.setCursor({ left: plot.valToPos(at, 'x'), top: plot.over.clientHeight / 2 }, true)
}

/** CSS pixels: what fits on A4 and Letter within their usual margins. A page is not laid out yet when it is told of paper. */
const PAPER_px = 670

function widthFor(host: HTMLElement): number {
  const most = matchMedia('print').matches ? PAPER_px : Number.POSITIVE_INFINITY
  return Math.max(200, Math.min(most, Math.floor(host.clientWidth)))
}
