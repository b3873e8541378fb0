/** Slanted lines: cold, for those who can not tell it by its colour. */
export function hatching(ctx: CanvasRenderingContext2D, colour: string): CanvasPattern | string {
  const size = Math.round(6 * devicePixelRatio)
  const tile = document.createElement('canvas')
  tile.width = size
  tile.height = size
  const pen = tile.getContext('2d')
  if (pen === null) return colour
  pen.strokeStyle = colour
  pen.lineWidth = 1.6 * devicePixelRatio
  for (const shift of [-size, 0, size]) {
    pen.beginPath()
    pen.moveTo(shift, size)
    pen.lineTo(shift + size, 0)
    pen.stroke()
  }
  return ctx.createPattern(tile, 'repeat') ?? colour
}
