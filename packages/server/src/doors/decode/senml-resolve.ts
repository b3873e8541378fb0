import type { Refusal, RefusalCode } from '../report.ts'
import { quoted } from './quoted.ts'

/** One record of a pack with its base values worked in (RFC 8428 section 4.6). Relative times are still relative. */
export interface ResolvedRecord {
  /** Position in the pack. */
  readonly index: number
  readonly n: string
  readonly u: string | undefined
  /** Seconds; below 2^28 relative to now. */
  readonly t: number
  readonly v?: number
  readonly vs?: string
  readonly vb?: boolean
  readonly vd?: unknown
  readonly s?: number
}

export interface ResolvedPack {
  /** In the order of time, as the RFC wants it. */
  readonly records: readonly ResolvedRecord[]
  readonly refused: readonly Refusal[]
}

/** Version of SenML that is spoken here. */
const VERSION = 10
const KNOWN = new Set([
  ...['bn', 'bt', 'bu', 'bv', 'bs', 'bver'],
  ...['n', 'u', 'v', 'vs', 'vb', 'vd', 's', 't', 'ut'],
])
const NUMBERS = ['bt', 'bv', 'bs', 'bver', 'v', 's', 't', 'ut'] as const
const TEXTS = ['bn', 'bu', 'n', 'u', 'vs'] as const
const PLAIN_NUMBERS: ReadonlySet<string> = new Set(['v', 't', 'bt'])
const PLAIN_TEXTS: ReadonlySet<string> = new Set(['n', 'u', 'bn', 'bu'])
const VALUES = ['v', 'vs', 'vb', 'vd'] as const
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/
const LONGEST_NAME = 256

type Labels = Readonly<Record<string, unknown>>

/**
 * Works the base values of a SenML pack into its records. A faulty record is refused and the others go on; but a record
 * that spoils the base values of those after it, has a higher version, or a label that must be understood and is not,
 * spoils the whole pack. Never throws.
 */
export function resolveSenml(pack: readonly unknown[]): ResolvedPack {
  const records: ResolvedRecord[] = []
  const refused: Refusal[] = []
  const base = { n: '', u: undefined as string | undefined, t: 0, v: 0, s: 0 }
  let goodName: string | null = null
  for (const [index, entry] of pack.entries()) {
    if (typeof entry !== 'object' || entry === null || Array.isArray(entry)) {
      refused.push(refusal(index, `A SenML record is an object, not ${quoted(entry)}.`))
      continue
    }
    const labels = entry as Labels
    const isPlain = isPlainNumber(labels)
    const fatal = isPlain ? null : spoilsThePack(labels)
    if (fatal !== null)
      return { records: [], refused: [refusal(index, `${fatal} Nothing of the pack was taken.`)] }
    if (Object.hasOwn(labels, 'bn')) base.n = labels.bn as string
    if (Object.hasOwn(labels, 'bu')) base.u = labels.bu as string
    if (Object.hasOwn(labels, 'bt')) base.t = labels.bt as number
    if (Object.hasOwn(labels, 'bv')) base.v = labels.bv as number
    if (Object.hasOwn(labels, 'bs')) base.s = labels.bs as number
    if (!isPlain && holdsOnlyBases(labels)) continue
    const n = base.n + (own(labels, 'n') ?? '')
    // Most records of a pack have the same name.
    const faulty = (isPlain ? null : faultOf(labels)) ?? (n === goodName ? null : nameFault(n))
    if (faulty !== null) {
      refused.push({ index, ...faulty })
      continue
    }
    goodName = n
    const u = own(labels, 'u') ?? base.u
    const t = base.t + ((labels.t as number | undefined) ?? 0)
    records.push(
      isPlain
        ? { index, n, u, t, v: base.v + (labels.v as number) }
        : { index, n, u, t, ...withBaseValues(labels, base) },
    )
  }
  return { records: records.toSorted((a, b) => a.t - b.t), refused }
}

/**
 * Whether it is as nearly all records are: a number with its name, unit and time in their right shapes, those of the base
 * too, and nothing else. Then nothing of it needs to be looked at more closely, which takes longer than everything else.
 */
function isPlainNumber(labels: Labels): boolean {
  for (const label of Object.keys(labels)) {
    const isRight = PLAIN_NUMBERS.has(label)
      ? isNumber(labels[label])
      : PLAIN_TEXTS.has(label) && typeof labels[label] === 'string'
    if (!isRight) return false
  }
  return labels.v !== undefined
}

function own(labels: Labels, label: 'n' | 'u'): string | undefined {
  return labels[label] as string | undefined
}

function spoilsThePack(labels: Labels): string | null {
  for (const label of Object.keys(labels)) {
    if (label.endsWith('_') && !KNOWN.has(label)) {
      return `The label ${quoted(label)} must be understood (it ends in _), and is not known here.`
    }
  }
  for (const label of NUMBERS) {
    if (label.startsWith('b') && Object.hasOwn(labels, label) && !isNumber(labels[label])) {
      return `The base value ${label} is ${quoted(labels[label])} instead of a number.`
    }
  }
  for (const label of ['bn', 'bu'] as const) {
    if (Object.hasOwn(labels, label) && typeof labels[label] !== 'string') {
      return `The base value ${label} is ${quoted(labels[label])} instead of a text.`
    }
  }
  if (Object.hasOwn(labels, 'bver') && (labels.bver as number) > VERSION) {
    return `The pack is of version ${labels.bver as number}; this cellar understands SenML up to version ${VERSION}.`
  }
  return null
}

function holdsOnlyBases(labels: Labels): boolean {
  const known = Object.keys(labels).filter(label => KNOWN.has(label))
  return known.length > 0 && known.every(label => label.startsWith('b'))
}

type Fault = { readonly code: RefusalCode; readonly message: string }

function faultOf(labels: Labels): Fault | null {
  for (const label of NUMBERS) {
    if (!Object.hasOwn(labels, label) || isNumber(labels[label])) continue
    const isValue = label === 'v' || label === 's'
    return {
      code: isValue ? 'not-a-number' : 'wrong-shape',
      message: `The label ${label} is ${quoted(shownNumber(labels[label]))} instead of a finite number.`,
    }
  }
  for (const label of TEXTS) {
    if (Object.hasOwn(labels, label) && typeof labels[label] !== 'string') {
      return {
        code: 'wrong-shape',
        message: `The label ${label} is ${quoted(labels[label])} instead of a text.`,
      }
    }
  }
  const values = VALUES.filter(label => Object.hasOwn(labels, label))
  if (values.length > 1) {
    return { code: 'wrong-shape', message: `One record has one value; this one has ${values.join(' and ')}.` }
  }
  if (values.length === 0 && !Object.hasOwn(labels, 's')) {
    return {
      code: 'not-a-number',
      message: 'The record has no value; add "v" with the number that was read.',
    }
  }
  return null
}

function nameFault(name: string): Fault | null {
  if (name === '') {
    return {
      code: 'wrong-shape',
      message: 'The record has no name; "bn" and "n" together give vessel/instrument/quantity.',
    }
  }
  if (name.length > LONGEST_NAME) {
    return {
      code: 'wrong-shape',
      message: `The name has ${name.length} characters; ${LONGEST_NAME} are the most.`,
    }
  }
  if (NAME.test(name)) return null
  return {
    code: 'wrong-shape',
    message:
      `The name ${quoted(name)} is not one of SenML: it begins with a letter or digit, ` +
      'and holds only letters, digits and - : . / _ (write a dash where the vessel has a space).',
  }
}

function withBaseValues(
  labels: Labels,
  base: { readonly v: number; readonly s: number },
): Partial<ResolvedRecord> {
  const sum = labels.s === undefined ? {} : { s: base.s + (labels.s as number) }
  if (labels.v !== undefined) return { v: base.v + (labels.v as number), ...sum }
  if (labels.vs !== undefined) return { vs: labels.vs as string, ...sum }
  if (labels.vb !== undefined) return { vb: labels.vb as boolean, ...sum }
  return labels.vd === undefined ? sum : { vd: labels.vd, ...sum }
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value)
}

function shownNumber(value: unknown): unknown {
  return typeof value === 'number' ? String(value) : value
}

function refusal(index: number, message: string): Refusal {
  return { index, code: 'wrong-shape', message }
}
