/**
 * Writes figures in the text form of OpenMetrics 1.0: metadata before samples, a family in one piece, "# EOF" at the
 * end, line feeds only.
 */
export const OPEN_METRICS_TYPE = 'application/openmetrics-text; version=1.0.0; charset=utf-8'

export interface MetricFamily {
  /** Without `_total`; ends in `_` and the unit, where there is one. */
  readonly name: string
  readonly type: 'counter' | 'gauge' | 'stateset' | 'info'
  readonly unit?: string
  readonly help: string
  readonly samples: readonly MetricSample[]
}

export interface MetricSample {
  readonly labels: Readonly<Record<string, string>>
  readonly value: number
}

/** Samples carry what their type asks for: `_total` for counters, `_info` for info. */
const SUFFIX = { counter: '_total', gauge: '', stateset: '', info: '_info' } as const

export function printOpenMetrics(families: readonly MetricFamily[]): string {
  return `${families.flatMap(printFamily).join('')}# EOF\n`
}

function printFamily(family: MetricFamily): string[] {
  const { name, type, unit, help, samples } = family
  return [
    `# TYPE ${name} ${type}\n`,
    ...(unit === undefined ? [] : [`# UNIT ${name} ${unit}\n`]),
    `# HELP ${name} ${escapeText(help)}\n`,
    ...samples.map(
      sample => `${name}${SUFFIX[type]}${printLabels(sample.labels)} ${printNumber(sample.value)}\n`,
    ),
  ]
}

function printLabels(labels: Readonly<Record<string, string>>): string {
  const pairs = Object.entries(labels).map(([name, value]) => `${name}="${escapeText(value)}"`)
  return pairs.length === 0 ? '' : `{${pairs.join(',')}}`
}

function escapeText(text: string): string {
  return text.replaceAll('\\', '\\\\').replaceAll('\n', '\\n').replaceAll('"', '\\"')
}

function printNumber(value: number): string {
  if (Number.isNaN(value)) return 'NaN'
  if (!Number.isFinite(value)) return value > 0 ? '+Inf' : '-Inf'
  return String(value)
}
