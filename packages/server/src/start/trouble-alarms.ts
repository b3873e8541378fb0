import type { AlarmCode } from '@attemper/core/alarms/catalogue.ts'
import { sayClockSet } from '@attemper/core/batch/say-clock-set.ts'
import { sayProblem } from '@attemper/core/batch/say-link.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { sayNotTakenUp } from '../live/say-trouble.ts'
import type { Kept, Trouble } from '../live/trouble.ts'

/** What an alarm is to be told about something: `detail` null means that it is over. */
export interface TroubleReport {
  readonly code: AlarmCode
  readonly subject: string
  /** null: it is about the cellar itself. */
  readonly batch: string | null
  readonly detail: string | null
}

/**
 * The alarm that a trouble of the machinery raises, or ends. Records of several kinds may fail together: their alarm is over
 * when the last of them can be written again.
 */
export class TroubleAlarms {
  /** By batch ('': the cellar): what can not be written now, with its reason. */
  readonly #failing = new Map<string, Map<Kept, string>>()

  reportOf(trouble: Trouble): TroubleReport | null {
    const { batch } = trouble
    switch (trouble.kind) {
      case 'records failing':
        this.#failingOf(batch).set(trouble.what, trouble.reason)
        return this.#records(batch)
      case 'records kept again':
        this.#failingOf(batch).delete(trouble.what)
        return this.#records(batch)
      case 'appliance unheard':
        return {
          ...applianceAlarm(trouble.appliance, batch),
          detail: sayProblem(trouble.problem, USUAL_UNITS),
        }
      case 'appliance heard':
        return { ...applianceAlarm(trouble.appliance, batch), detail: null }
      case 'doors not closed':
        return { code: 'appliance-left', subject: trouble.vessel, batch: null, detail: trouble.problem }
      case 'doors closed':
        return { code: 'appliance-left', subject: trouble.vessel, batch: null, detail: null }
      case 'clock set':
        return { code: 'clock-wrong', subject: '', batch: null, detail: sayClockSet(trouble) }
      case 'not taken up':
        return { code: 'batch-not-kept', subject: '', batch, detail: sayNotTakenUp(trouble) }
      case 'engine failed':
        return {
          code: 'batch-not-kept',
          subject: '',
          batch,
          detail: `the engine has failed on it (${trouble.reason}).`,
        }
      case 'settled':
        return { code: 'batch-not-kept', subject: '', batch, detail: null }
      case 'clock steady':
        return { code: 'clock-wrong', subject: '', batch: null, detail: null }
      case 'entries lost':
      case 'vessel unreadable':
      case 'listener failed':
        return null
    }
  }

  #failingOf(batch: string | null): Map<Kept, string> {
    const known = this.#failing.get(batch ?? '')
    if (known !== undefined) return known
    const fresh = new Map<Kept, string>()
    this.#failing.set(batch ?? '', fresh)
    return fresh
  }

  #records(batch: string | null): TroubleReport {
    const [reason = null] = this.#failingOf(batch).values()
    return { code: 'storage-trouble', subject: '', batch, detail: reason }
  }
}

const applianceAlarm = (subject: string, batch: string | null) =>
  ({ code: 'appliance-unreachable', subject, batch }) as const
