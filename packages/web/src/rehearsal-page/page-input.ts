/** What the page of a rehearsal is made from, and what is made of it. Whoever writes pages knows these types only. */
import type { LocalDateTime } from '@attemper/core/plan/plan.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'

export interface PageInput {
  readonly result: RehearsalResult
  readonly nominal: RunRecord
  readonly setup: Pick<Setup, 'sample_s' | 'plan' | 'vessel'>
  readonly units: DisplayUnits
  readonly start: LocalDateTime
  /** Makes the same rehearsal again. */
  readonly command: string
  readonly version: string
}

export interface RenderedPage {
  /** Plain text. */
  readonly title: string
  /** Markup, for the element `#page`; `page.css` belongs to it. */
  readonly body: string
  /** JSON, for the element `#data`; `page.js` reads it there and brings the charts to life. */
  readonly data: string
}

export type RenderPage = (input: PageInput) => RenderedPage
