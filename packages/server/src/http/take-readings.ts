import type { Receipt, Refusal, Report } from '../doors/report.ts'
import type { HttpParts } from './http-app.ts'

export interface SentReadings {
  readonly kind: string
  readonly body: Buffer
  readonly vessel: string | undefined
  readonly mapping: string | undefined
  /** The only vessel that the sender may speak for. */
  readonly bound: string | undefined
  readonly door: string
}

/** A report with its position in what was sent. */
interface Placed {
  readonly index: number
  readonly report: Report
}

/** Decodes what was sent, hands in what is right, and says of each of the others what is wrong with it. */
export async function takeReadings(
  { cellar, clock, decode }: Pick<HttpParts, 'cellar' | 'clock' | 'decode'>,
  { kind, body, vessel, mapping, bound, door }: SentReadings,
): Promise<Receipt> {
  const { reports, refused } = decode(kind, body, {
    ...(vessel === undefined ? {} : { vessel }),
    ...(mapping === undefined ? {} : { mapping }),
    now_ms: clock.now_ms(),
  })
  // Nearly always everything is right, and nothing has to be put together again.
  if (refused.length === 0 && bound === undefined && reports.length > 0) return cellar.accept(reports, door)
  const placed = place(reports, refused)
  const own = placed.filter(({ report }) => bound === undefined || report.vessel === bound)
  const foreign = placed.filter(({ report }) => bound !== undefined && report.vessel !== bound)
  const receipt: Receipt =
    own.length === 0
      ? { stored: 0, repeated: 0, refused: [] }
      : await cellar.accept(
          own.map(({ report }) => report),
          door,
        )
  const all: Refusal[] = [
    ...refused,
    ...foreign.map(
      ({ index, report }): Refusal => ({
        index,
        code: 'unknown-vessel',
        message: `This token hands in readings of “${bound}” only, not of “${report.vessel}”.`,
      }),
    ),
    ...receipt.refused.map(one => ({ ...one, index: own[one.index]?.index ?? one.index })),
  ]
  return { ...receipt, refused: all.sort((a, b) => a.index - b.index) }
}

/** A decoder keeps the order, so the reports fill the places that were not refused. */
function place(reports: readonly Report[], refused: readonly Refusal[]): readonly Placed[] {
  const taken = new Set(refused.map(({ index }) => index))
  let index = -1
  return reports.map(report => {
    do index += 1
    while (taken.has(index))
    return { index, report }
  })
}
