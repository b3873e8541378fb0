import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { PROGRAM, startBatch, startTestServer } from '../testing/test-server.ts'
import { OPEN_METRICS_TYPE, printOpenMetrics } from './open-metrics.ts'

/** Rules after OpenMetrics 1.0, and an example; see test/published/data/README.md. */
const VECTORS = JSON.parse(
  readFileSync(new URL('../../../../../test/published/data/calendar-metrics.json', import.meta.url), 'utf8'),
).openMetrics as {
  readonly content_type: string
  readonly example: string
  readonly rules: readonly string[]
}

const SAMPLE =
  /^(?<name>[a-zA-Z_:][\w:]*)(?:\{(?<labels>(?:[a-zA-Z_]\w*="(?:[^"\\\n]|\\[\\"n])*",?)*)\})? (?<value>NaN|[+-]Inf|-?[\d.]+(?:e[+-]?\d+)?)(?: [\d.]+)?$/

const SUFFIXES: Readonly<Record<string, readonly string[]>> = {
  counter: ['_total', '_created'],
  gauge: [''],
  stateset: [''],
  info: ['_info'],
}

/** What breaks one of the rules of the data; empty: nothing. Written for the tests, from the rules alone. */
function faultsOf(text: string): string[] {
  const faults: string[] = []
  if (text.includes('\r')) faults.push('carriage return')
  if (!text.endsWith('\n# EOF\n') && text !== '# EOF\n') faults.push('no end')
  const seen = new Set<string>()
  let family = { name: '', type: '', hasSamples: false }
  for (const line of text.split('\n').slice(0, -2)) {
    const meta = /^# (TYPE|UNIT|HELP) (\S+) (.+)$/.exec(line)
    if (meta !== null) {
      const [, kind, name = '', rest = ''] = meta
      if (name !== family.name) {
        if (seen.has(name)) faults.push(`interleaved: ${name}`)
        seen.add(name)
        family = { name, type: 'unknown', hasSamples: false }
      }
      if (family.hasSamples) faults.push(`metadata after samples: ${name}`)
      if (kind === 'TYPE') family.type = rest
      if (kind === 'TYPE' && !(rest in SUFFIXES)) faults.push(`type ${rest}`)
      if (kind === 'TYPE' && name.endsWith('_total')) faults.push(`total in the name of a family: ${name}`)
      if (kind === 'UNIT' && !name.endsWith(`_${rest}`)) faults.push(`unit is no suffix: ${name}`)
      continue
    }
    const sample = SAMPLE.exec(line)
    const allowed = (SUFFIXES[family.type] ?? []).map(suffix => `${family.name}${suffix}`)
    if (sample === null) faults.push(`no sample: ${line}`)
    else if (!allowed.includes(sample.groups?.name ?? '')) faults.push(`not of the family: ${line}`)
    family.hasSamples = true
  }
  return faults
}

test('the judge of the tests accepts the example, and finds what breaks a rule', () => {
  expect(faultsOf(VECTORS.example)).toEqual([])
  expect(faultsOf(VECTORS.example.replace('# EOF\n', ''))).not.toEqual([])
  expect(faultsOf(VECTORS.example.replace('relay_starts_total{', 'relay_starts{'))).not.toEqual([])
  expect(faultsOf(VECTORS.example.replaceAll('\n', '\r\n'))).not.toEqual([])
  expect(faultsOf(VECTORS.example.replace('celsius celsius', 'celsius kelvin'))).not.toEqual([])
})

test('awkward names and numbers are written by the rules', () => {
  const text = printOpenMetrics([
    {
      name: 'attemper_odd',
      type: 'gauge',
      help: 'A "help"\nwith \\ in it.',
      samples: [
        { labels: { vessel: 'a "b"\n\\c' }, value: Number.NaN },
        { labels: {}, value: Number.NEGATIVE_INFINITY },
        { labels: {}, value: 1e-7 },
      ],
    },
    { name: 'attemper_build', type: 'info', help: 'x', samples: [{ labels: { version: '1' }, value: 1 }] },
  ])
  expect(faultsOf(text)).toEqual([])
  expect(text).toContain('attemper_odd{vessel="a \\"b\\"\\n\\\\c"} NaN\n')
  expect(text).toContain('attemper_build_info{version="1"} 1\n')
})

test('the figures of a cellar', async () => {
  const server = await startTestServer({
    parts: {
      figures: () => [
        {
          name: 'attemper_mqtt_clients',
          type: 'gauge',
          help: 'Clients.',
          samples: [{ labels: {}, value: 2 }],
        },
      ],
    },
  })
  const id = startBatch(server)
  const ended = server.cellar.view(id).batch.vessel
  await server.app.inject({
    method: 'POST',
    url: '/readings',
    headers: PROGRAM,
    payload: [{ value: 18, vessel: ended }, {}],
  })
  const answer = await server.app.inject('/metrics')
  expect(answer.headers['content-type']).toBe(VECTORS.content_type)
  expect(OPEN_METRICS_TYPE).toBe(VECTORS.content_type)
  expect(faultsOf(answer.body)).toEqual([])
  const names = [...answer.body.matchAll(/^# TYPE (\S+)/gm)].map(([, name]) => name)
  expect(names.every(name => name?.startsWith('attemper_'))).toBe(true)
  const labels = 'vessel="Bucket with a heating pad",batch="b1"'
  for (const line of [
    'attemper_vessels 1',
    `attemper_beer_temperature_celsius{${labels}} 18.25`,
    `attemper_batch_state{${labels},attemper_batch_state="running"} 1`,
    `attemper_batch_state{${labels},attemper_batch_state="held"} 0`,
    `attemper_batch_verdict{${labels},attemper_batch_verdict="well"} 1`,
    `attemper_batch_verdict{${labels},attemper_batch_verdict="unknown"} 0`,
    `attemper_appliance_on{${labels},appliance="heater"} 0`,
    'attemper_http_readings_total{outcome="stored"} 1',
    'attemper_http_readings_refused_total{code="not-a-number"} 1',
    'attemper_mqtt_clients 2',
  ]) {
    expect(answer.body.split('\n')).toContain(line)
  }
  // The gravity is unknown, and there is no cooler: no sample says otherwise.
  expect(answer.body).not.toMatch(/^attemper_gravity_ratio\{|appliance="cooler"/m)
})
