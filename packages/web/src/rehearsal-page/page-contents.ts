import type { LocalDateTime } from '@attemper/core/plan/plan.ts'
import type { RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { type NominalCourse, nominalCourse } from '../pictures/nominal-course.ts'
import type { PageInput } from './page-input.ts'

/** All that the page of a rehearsal shows. It stands in the page as JSON. */
export interface PageContents {
  readonly result: RehearsalResult
  readonly nominal: NominalCourse
  readonly hasAppliance: boolean
  readonly units: DisplayUnits
  readonly start: LocalDateTime
  readonly command: string
  readonly version: string
}

/** More than any unit shows, and half as long as all that there are. */
const DIGITS = 7

/** The contents as the page carries them: as JSON, whose numbers are no longer than what can be seen of them. */
export function pageContentsJson({ nominal, setup, ...rest }: PageInput): string {
  const { heater, cooler } = setup.vessel
  const contents: PageContents = {
    ...rest,
    nominal: nominalCourse(nominal, setup),
    hasAppliance: heater !== undefined || cooler !== undefined,
  }
  return JSON.stringify(contents, (_, value: unknown) =>
    typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(DIGITS)) : value,
  )
}
