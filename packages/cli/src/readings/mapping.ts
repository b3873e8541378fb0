import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import { parse } from 'yaml'
import type { Given } from '../command.ts'
import { UsageError } from '../exit-status.ts'
import { firstLine } from '../settings-file.ts'
import { readText } from '../text-file.ts'
import type { Separator } from './csv-table.ts'
import { TIME_UNITS, type TimeUnit, zoneOffset_s } from './reading-time.ts'
import {
  isRefractometerUnit,
  type ReadingUnit,
  readingUnit,
  refractometerUnit,
  unitNames,
  usualUnit,
} from './reading-unit.ts'

/** Which column of a CSV file means what. */
export interface Mapping {
  readonly time: { readonly column: string; readonly unit: TimeUnit }
  /** What the clock of the record, or of the vessel, is ahead of UTC; null: nobody has said it. */
  readonly utcOffset_s: number | null
  readonly columns: readonly MappedColumn[]
  /** Preferred for every quantity that it measures. */
  readonly instrument?: string | undefined
}

export interface MappedColumn {
  readonly column: string
  readonly quantity: string
  readonly unit: ReadingUnit
  /** The vessel's instrument that this column stands for; left out: the most trusted one. */
  readonly instrument?: string
}

/** What a person said about the columns, on the command line or in a mapping file; anything may be left out. */
export interface Wishes {
  readonly time?: string | undefined
  readonly timeUnit?: string | undefined
  readonly utcOffset?: string | undefined
  readonly separator?: Separator | undefined
  /** By quantity; under '': for every quantity that it measures. */
  readonly instruments: ReadonlyMap<string, string>
  readonly quantities: readonly {
    readonly quantity: string
    readonly column: string
    readonly unit?: string | undefined
    readonly instrument?: string | undefined
  }[]
}

const EMPTY: Wishes = { quantities: [], instruments: new Map() }

/** The mapping file first, then the options of the command line on top of it. */
export function readWishes(given: Given, folder: string): Wishes {
  const file = given.text('mapping')
  const fromFile = file === undefined ? EMPTY : readMappingFile(file, folder)
  const instruments = new Map<string, string>()
  for (const text of given.texts('instrument')) {
    const [quantity, name] = text.includes('=') ? splitOnce(text, '=') : ['', text]
    instruments.set(quantity.trim(), name.trim())
  }
  const spoken = [
    ...['beer', 'air', 'gravity'].flatMap(quantity => {
      const text = given.text(`${quantity}-column`)
      return text === undefined ? [] : [`${quantity}=${text}`]
    }),
    ...given.texts('quantity'),
  ].map(text => {
    if (!text.includes('='))
      throw new UsageError(`--quantity should read NAME=COLUMN[:UNIT], but is "${text}".`)
    const [quantity, rest] = splitOnce(text, '=')
    const [, column = rest, unit] = /^(.*):([^:]*)$/.exec(rest) ?? []
    return { quantity: quantity.trim(), column: column.trim(), unit: unit?.trim() }
  })
  const replaced = new Set(spoken.map(each => each.quantity))
  const quantities = [...fromFile.quantities.filter(each => !replaced.has(each.quantity)), ...spoken]
  return {
    ...fromFile,
    time: given.text('time') ?? fromFile.time,
    timeUnit: given.text('time-unit') ?? fromFile.timeUnit,
    utcOffset: given.text('utc-offset') ?? fromFile.utcOffset,
    separator: separatorOf(given.text('separator')) ?? fromFile.separator,
    quantities,
    instruments,
  }
}

function separatorOf(text: string | undefined): Separator | undefined {
  if (text === undefined) return undefined
  const separators: Readonly<Record<string, Separator>> = {
    ',': ',',
    comma: ',',
    ';': ';',
    semicolon: ';',
    '\t': '\t',
    tab: '\t',
  }
  const separator = separators[text.toLowerCase()]
  if (separator === undefined) throw new UsageError('--separator should be comma, semicolon or tab.')
  return separator
}

/**
 * The mapping for a file with these columns: what was said, and the rest from the columns' own names. `original_SG`: the
 * original gravity of the beer, without which no column can be in °Bx; null: not known.
 */
export function mappingFor(
  wishes: Wishes,
  header: readonly string[],
  file: string,
  original_SG: number | null,
): Mapping {
  const timeColumn =
    wishes.time === undefined ? guess(header, GUESSES.time!) : named(wishes.time, header, file)
  if (timeColumn === null) {
    throw new UsageError(
      `${file} has no column that looks like a time (${header.join(', ')}): name it with --time.`,
    )
  }
  const unit = wishes.timeUnit ?? guessTimeUnit(timeColumn)
  if (!(TIME_UNITS as readonly string[]).includes(unit)) {
    throw new UsageError(`--time-unit "${unit}" is unknown: use one of ${TIME_UNITS.join(', ')}.`)
  }
  const utcOffset_s = wishes.utcOffset === undefined ? null : zoneOffset_s(wishes.utcOffset)
  if (utcOffset_s === null && wishes.utcOffset !== undefined) {
    throw new UsageError(`--utc-offset should read like +01:00, but is "${wishes.utcOffset}".`)
  }
  const columns =
    wishes.quantities.length > 0
      ? wishes.quantities.map(wish => mapped(wish, header, file, original_SG))
      : guessColumns(header.filter(column => column !== timeColumn))
  if (columns.length === 0) {
    throw new UsageError(
      `${file} has no column that looks like a beer temperature or a gravity (${header.join(', ')}): ` +
        'name them with --beer-column and --gravity-column.',
    )
  }
  return {
    time: { column: timeColumn, unit: unit as TimeUnit },
    utcOffset_s,
    columns: columns.map(column => {
      const instrument = wishes.instruments.get(column.quantity) ?? column.instrument
      return instrument === undefined ? column : { ...column, instrument }
    }),
    instrument: wishes.instruments.get(''),
  }
}

/** What was read from where, for whoever has to find out that it was the wrong column. */
export function sayMapping({ time, columns }: Mapping, file: string): string {
  const parts = columns.map(({ quantity, column, unit }) => {
    const inUnit = unit.name === '' ? '' : ` (${unit.name})`
    return `${quantity} from column ${column}${inUnit}`
  })
  return `Of ${file} were read: time from column ${time.column} (${time.unit}), ${parts.join(', ')}.`
}

const GUESSES: Readonly<Record<string, RegExp>> = {
  time: /^(time|date|datetime|date time|timestamp|elapsed|hours?|days?)(\b|_|$)/i,
  beer: /^(beer|temperature|temp)(_?(c|f|k))?( ?[([]?°?(c|f|k)[)\]]?)?$/i,
  air: /^(air|cabinet)(_?(c|f|k))?$/i,
  gravity: /^(gravity|sg|specific gravity|plato|extract)(_?(sg|p))?$/i,
}

function guess(header: readonly string[], pattern: RegExp): string | null {
  return header.find(column => pattern.test(column)) ?? null
}

function guessTimeUnit(column: string): TimeUnit {
  const ending = /(?:_|\(|\[|\s)(s|min|h|d)[)\]]?$/i.exec(column)?.[1]?.toLowerCase()
  if (ending !== undefined) return ending as TimeUnit
  if (/^hours?/i.test(column)) return 'h'
  return /^days?/i.test(column) ? 'd' : 'iso'
}

function guessColumns(header: readonly string[]): MappedColumn[] {
  return ['beer', 'air', 'gravity'].flatMap(quantity => {
    const column = guess(header, GUESSES[quantity]!)
    if (column === null) return []
    const ending =
      /(?:_|\s|\(|\[|°)(C|F|K|SG|P)[)\]]?$/i.exec(column)?.[1] ?? (/^plato|^extract/i.test(column) ? 'P' : '')
    return [{ column, quantity, unit: readingUnit(quantity, ending) ?? usualUnit(quantity) }]
  })
}

function mapped(
  wish: Wishes['quantities'][number],
  header: readonly string[],
  file: string,
  original_SG: number | null,
): MappedColumn {
  const column = named(wish.column, header, file)
  const unit = unitOf(wish, original_SG)
  if (unit === null) {
    throw new UsageError(
      `${wish.quantity} can not be in "${wish.unit}": use one of ${unitNames(wish.quantity)}.`,
    )
  }
  return {
    column,
    quantity: wish.quantity,
    unit,
    ...(wish.instrument === undefined ? {} : { instrument: wish.instrument }),
  }
}

function unitOf(
  { quantity, unit }: Wishes['quantities'][number],
  original_SG: number | null,
): ReadingUnit | null {
  if (unit === undefined) return usualUnit(quantity)
  if (!isRefractometerUnit(quantity, unit)) return readingUnit(quantity, unit)
  if (original_SG !== null) return refractometerUnit(original_SG)
  throw new UsageError(
    'A refractometer reads the alcohol too, so that a column in °Bx tells the gravity only together with the original one: say --original-gravity, such as 1.050.',
  )
}

function named(column: string, header: readonly string[], file: string): string {
  if (header.includes(column)) return column
  const nearest = nearestWord(column, header)
  const hint = nearest === null ? `It has ${header.join(', ')}.` : `Did you mean ${nearest}?`
  throw new UsageError(`${file} has no column ${column}. ${hint}`)
}

function splitOnce(text: string, separator: string): [string, string] {
  const at = text.indexOf(separator)
  return [text.slice(0, at), text.slice(at + separator.length)]
}

const MAPPING_KEYS = ['time', 'time unit', 'utc offset', 'separator', 'columns']

/**
 * A mapping file: `time: time_h`, `time unit: h`, `separator: ";"`, and under `columns` for each quantity either a column
 * or `{ column, unit, instrument }`.
 */
function readMappingFile(file: string, folder: string): Wishes {
  let content: unknown
  try {
    content = parse(readText(file, folder), { maxAliasCount: 0 })
  } catch (error) {
    if (error instanceof UsageError) throw error
    throw new UsageError(`The mapping file ${file} is not YAML: ${firstLine(error)}`)
  }
  if (!isRecord(content))
    throw new UsageError(`The mapping file ${file} should hold: ${MAPPING_KEYS.join(', ')}.`)
  for (const key of Object.keys(content)) {
    if (MAPPING_KEYS.includes(key)) continue
    const nearest = nearestWord(key, MAPPING_KEYS)
    const hint = nearest === null ? `Use ${MAPPING_KEYS.join(', ')}.` : `Did you mean "${nearest}"?`
    throw new UsageError(`The mapping file ${file} has an unknown key "${key}". ${hint}`)
  }
  const columns = content.columns ?? {}
  if (!isRecord(columns)) {
    throw new UsageError(
      `In the mapping file ${file}, columns should name quantities, such as: beer: temperature_C.`,
    )
  }
  const separator = content.separator
  if (separator !== undefined && separator !== ',' && separator !== ';' && separator !== '\t') {
    throw new UsageError(`In the mapping file ${file}, separator should be ",", ";" or "\\t".`)
  }
  return {
    time: textOr(content.time),
    timeUnit: textOr(content['time unit']),
    utcOffset: textOr(content['utc offset']),
    separator,
    instruments: new Map(),
    quantities: Object.entries(columns).map(([quantity, wish]) => {
      if (typeof wish === 'string') return { quantity, column: wish }
      if (isRecord(wish) && typeof wish.column === 'string') {
        return { quantity, column: wish.column, unit: textOr(wish.unit), instrument: textOr(wish.instrument) }
      }
      throw new UsageError(
        `In the mapping file ${file}, columns: ${quantity} should be a column's name, or { column, unit, instrument }.`,
      )
    }),
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function textOr(value: unknown): string | undefined {
  return value === undefined || value === null ? undefined : String(value)
}
