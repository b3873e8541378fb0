import type { Fan } from '../../rehearsal/result.ts'
import { digitsFor, niceTicks } from './ticks.ts'
import { widthOf } from './width.ts'

/**
 * A fan over time drawn with braille characters, two by four dots each: the 90 % interval as a sparse grain, the 50 %
 * interval as a dense one, the median as a line with a clear edge. Readable without colour.
 */
export interface FanPicture {
  /** Rows of text, without the title and the time axis. */
  readonly rows: number
  /** Columns of text in all, axis included. */
  readonly width: number
  /** Places of the columns of the fan; in ascending order. */
  readonly x: readonly number[]
  readonly xFrom: number
  readonly xTo: number
  /** In display units. */
  readonly fan: Pick<Fan, 'p5' | 'p25' | 'p50' | 'p75' | 'p95'>
  /** A second line, dotted: the target. */
  readonly dotted?: readonly (number | null)[]
}

/** Columns that the axis on the left takes. */
export const AXIS_WIDTH = 8

export function fanPicture(picture: FanPicture): string {
  const cells = picture.width - AXIS_WIDTH
  const canvas = new DotCanvas(cells, picture.rows)
  const { lowest, highest } = rangeOf(picture)
  const dotsHigh = picture.rows * 4
  const toDot = (value: number) => Math.round(((highest - value) / (highest - lowest)) * (dotsHigh - 1))

  let before: number | null = null
  const medians: (number | null)[] = []
  for (let column = 0; column < cells * 2; column += 1) {
    const x = picture.xFrom + ((column + 0.5) / (cells * 2)) * (picture.xTo - picture.xFrom)
    const at = (values: readonly (number | null)[]) => interpolate(picture.x, values, x)
    grain(canvas, column, at(picture.fan.p5), at(picture.fan.p95), toDot, SPARSE)
    grain(canvas, column, at(picture.fan.p25), at(picture.fan.p75), toDot, DENSE)
    if (picture.dotted !== undefined && column % 4 < 2) {
      const dotted = at(picture.dotted)
      if (dotted !== null) canvas.set(column, toDot(dotted))
    }
    const median = at(picture.fan.p50)
    medians.push(median === null ? null : toDot(median))
  }
  for (const [column, dot] of medians.entries()) {
    if (dot !== null) {
      const from = Math.min(dot, before ?? dot)
      const to = Math.max(dot, before ?? dot)
      for (let row = from - 2; row <= to + 2; row += 1) canvas.clear(column, row)
    }
    before = dot
  }
  before = null
  for (const [column, dot] of medians.entries()) {
    if (dot !== null) {
      for (let row = Math.min(dot, before ?? dot); row <= Math.max(dot, before ?? dot); row += 1) {
        canvas.set(column, row)
      }
    }
    before = dot
  }

  const ticks = niceTicks(lowest, highest, Math.max(2, Math.floor(picture.rows / 2)))
  const digits = digitsFor(ticks)
  const labels = new Map(ticks.map(tick => [Math.floor(toDot(tick) / 4), tick.toFixed(digits)]))
  return canvas
    .lines()
    .map((line, row) => {
      const label = labels.get(row)
      return `${(label ?? '').padStart(AXIS_WIDTH - 2)} ${label === undefined ? '│' : '┤'}${line}`.trimEnd()
    })
    .join('\n')
}

/** The axis of time below a picture: a line with ticks, then the labels and the unit. */
export function timeAxis(width: number, xFrom: number, xTo: number, unit: string, perUnit: number): string {
  const cells = width - AXIS_WIDTH
  const steps = unit === 'd' ? [1, 2, 3, 4, 5, 7, 10, 14, 28] : undefined
  const ticks = niceTicks(xFrom / perUnit, xTo / perUnit, cells / 9, steps)
  const digits = digitsFor(ticks)
  const line: string[] = Array.from({ length: cells }, () => '─')
  const labels: string[] = Array.from({ length: cells }, () => ' ')
  let free = 0
  for (const tick of ticks) {
    const column = Math.min(cells - 1, Math.floor(((tick * perUnit - xFrom) / (xTo - xFrom)) * cells))
    line[column] = '┴'
    const text = tick === ticks[0] ? `${tick.toFixed(digits)} ${unit}` : tick.toFixed(digits)
    const start = Math.max(0, Math.min(column, cells - widthOf(text)))
    if (start < free) continue
    for (const [offset, character] of [...text].entries()) labels[start + offset] = character
    free = start + text.length + 1
  }
  const margin = ' '.repeat(AXIS_WIDTH)
  return `${margin.slice(0, -1)}└${line.join('')}\n${(margin + labels.join('')).trimEnd()}`
}

/** One line of eighth blocks: how large a share of the time something was on. */
export function shareStrip(
  label: string,
  width: number,
  x: readonly number[],
  shares: readonly (number | null)[],
  xFrom: number,
  xTo: number,
): string {
  const cells = width - AXIS_WIDTH
  let line = ''
  for (let column = 0; column < cells; column += 1) {
    const share = interpolate(x, shares, xFrom + ((column + 0.5) / cells) * (xTo - xFrom))
    line += share === null || share <= 0.01 ? ' ' : EIGHTHS[Math.min(7, Math.floor(share * 8))]
  }
  return `${label.padStart(AXIS_WIDTH - 2)} │${line}`.trimEnd()
}

const EIGHTHS = '▁▂▃▄▅▆▇█'
const SPARSE = (column: number, row: number) => column % 2 === 0 && row % 3 === (column % 4 === 0 ? 0 : 1)
const DENSE = (column: number, row: number) => (column + row) % 2 === 0

function grain(
  canvas: DotCanvas,
  column: number,
  low: number | null,
  high: number | null,
  toDot: (value: number) => number,
  pattern: (column: number, row: number) => boolean,
): void {
  if (low === null || high === null) return
  for (let row = toDot(high); row <= toDot(low); row += 1) if (pattern(column, row)) canvas.set(column, row)
}

function rangeOf(picture: FanPicture): { lowest: number; highest: number } {
  let lowest = Number.POSITIVE_INFINITY
  let highest = Number.NEGATIVE_INFINITY
  for (const values of [picture.fan.p5, picture.fan.p50, picture.fan.p95, picture.dotted ?? []]) {
    for (const value of values) {
      if (value === null || !Number.isFinite(value)) continue
      lowest = Math.min(lowest, value)
      highest = Math.max(highest, value)
    }
  }
  if (lowest > highest) return { lowest: 0, highest: 1 }
  const margin = Math.max((highest - lowest) * 0.04, Math.abs(highest) * 1e-4, 1e-6)
  return { lowest: lowest - margin, highest: highest + margin }
}

/** Between two columns; null where either is not known, and outside. */
function interpolate(x: readonly number[], values: readonly (number | null)[], at: number): number | null {
  if (x.length === 0) return null
  let low = 0
  let high = x.length - 1
  if (at < x[low]! || at > x[high]!) return null
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (x[middle]! <= at) low = middle
    else high = middle
  }
  const before = values[low] ?? null
  const after = values[high] ?? null
  if (before === null || after === null) return at === x[low] ? before : null
  const span = x[high]! - x[low]!
  return span === 0 ? before : before + ((after - before) * (at - x[low]!)) / span
}

/** Dots in a grid of braille characters; U+2800 plus one bit for each dot. */
class DotCanvas {
  readonly #cells: number
  readonly #rows: number
  readonly #bits: Uint8Array

  constructor(cells: number, rows: number) {
    this.#cells = cells
    this.#rows = rows
    this.#bits = new Uint8Array(cells * rows)
  }

  set(column: number, row: number): void {
    if (this.#outside(column, row)) return
    this.#bits[this.#index(column, row)]! |= bitOf(column, row)
  }

  clear(column: number, row: number): void {
    if (this.#outside(column, row)) return
    this.#bits[this.#index(column, row)]! &= ~bitOf(column, row)
  }

  lines(): string[] {
    return Array.from({ length: this.#rows }, (_, row) =>
      Array.from(this.#bits.subarray(row * this.#cells, (row + 1) * this.#cells), bits =>
        bits === 0 ? ' ' : String.fromCodePoint(0x2800 + bits),
      ).join(''),
    )
  }

  #outside(column: number, row: number): boolean {
    return column < 0 || row < 0 || column >= this.#cells * 2 || row >= this.#rows * 4
  }

  #index(column: number, row: number): number {
    return (row >> 2) * this.#cells + (column >> 1)
  }
}

function bitOf(column: number, row: number): number {
  const left = [0x01, 0x02, 0x04, 0x40]
  const right = [0x08, 0x10, 0x20, 0x80]
  return (column % 2 === 0 ? left : right)[row % 4]!
}
