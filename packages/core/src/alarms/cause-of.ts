import type { Alarm } from './alarms.ts'
import { alarmKind } from './catalogue.ts'

/**
 * The alarm of the same batch that explains this one, as far back as there is one: a relay that is not reached, the appliance
 * that ran without effect, and the question about it are one cause. null: it stands for itself.
 *
 * @param alarms those of the batch that have been raised
 */
export function causeOf<Each extends Pick<Alarm, 'code' | 'subject' | 'since_s'>>(
  alarm: Each,
  alarms: readonly Each[],
): Each | null {
  let cause: Each | null = null
  const seen = new Set<Each>([alarm])
  for (let of = alarm; ; of = cause) {
    const next = directCause(of, alarms)
    if (next === null || seen.has(next)) return cause
    seen.add(next)
    cause = next
  }
}

/** Of several that may explain it, the one about the same thing, else the oldest. */
function directCause<Each extends Pick<Alarm, 'code' | 'subject' | 'since_s'>>(
  { code, subject }: Each,
  alarms: readonly Each[],
): Each | null {
  const { causes } = alarmKind(code)
  const [first = null] = alarms
    .filter(each => causes.includes(each.code) && !speaksOfAnother(each, code, subject))
    .toSorted(
      (a, b) => Number(b.subject === subject) - Number(a.subject === subject) || a.since_s - b.since_s,
    )
  return first
}

/** A heater that is not reached does not explain that the cooler has no effect. */
function speaksOfAnother(
  cause: Pick<Alarm, 'code' | 'subject'>,
  code: Alarm['code'],
  subject: string,
): boolean {
  return cause.code === 'appliance-unreachable' && code === 'no-response' && cause.subject !== subject
}
