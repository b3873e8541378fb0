import { FILES } from '@attemper/core/batch/batch-case.ts'
import type { Beer } from '@attemper/core/beer/beer.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Finding } from '@attemper/core/finding.ts'
import { isReady, sayReadiness } from '@attemper/core/readiness/vessel-checks.ts'
import { type DisplayUnits, USUAL_UNITS } from '@attemper/core/units/display.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { Type } from 'typebox'
import { judge } from '../../live/judge.ts'
import { vesselReadiness } from '../../live/vessel-readiness.ts'
import type { VesselRecord } from '../../store/store.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { recordsProblem } from '../records-state.ts'
import { Name, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { Readiness, ReadinessFor, ReadingUnits } from './readiness-schemas.ts'

const VesselName = Type.Object({ name: Name })

/** GET and POST /vessels/:name/readiness: what must be true before a batch is started. Made to be asked each second. */
export function readinessRoutes(app: HttpApp, parts: HttpParts): void {
  const { cellar, store, clock } = parts
  /** The latest text of each vessel that was asked for, read. */
  const known = new Map<string, { readonly text: string; readonly vessel: Vessel | null }>()

  const vesselOf = ({ name, text }: VesselRecord): Vessel => {
    let kept = known.get(name)
    if (kept?.text !== text) {
      kept = { text, vessel: readVessel(text, FILES.vessel).vessel }
      known.set(name, kept)
    }
    if (kept.vessel !== null) return kept.vessel
    throw new HttpProblem('has-errors', `The file of ${name} can not be read any more.`)
  }

  const recordOf = (name: string): VesselRecord => {
    const record = cellar.vessels().find(vessel => vessel.name === name)
    if (record !== undefined) return record
    throw new HttpProblem('unknown-vessel', `There is no vessel called “${name}”.`, {
      cure: 'GET /vessels lists those there are.',
    })
  }

  const answer = (
    name: string,
    beer: Beer | null,
    units: Partial<DisplayUnits>,
    findingsOf: (record: VesselRecord) => readonly Finding[],
  ) => {
    const record = recordOf(name)
    const now_ms = clock.now_ms()
    const vessel = vesselOf(record)
    const checks = vesselReadiness(store, {
      vessel,
      beer,
      now_ms,
      localOffset_s: parts.localOffset_s?.(now_ms) ?? 0,
      batch: cellar.batchIn(name),
      appliances: (parts.appliances?.(record) ?? []).filter(({ appliance }) =>
        // With a thermostat, heater and cooler are its own.
        vessel.thermostat === undefined ? Object.hasOwn(vessel, appliance) : appliance === 'thermostat',
      ),
      storageProblem: recordsProblem(parts),
      units: { ...USUAL_UNITS, ...units },
    })
    const sentence = sayReadiness(name, checks)
    return { vessel: name, now_ms, ready: isReady(checks), sentence, checks, findings: findingsOf(record) }
  }

  app.get(
    '/vessels/:name/readiness',
    {
      schema: {
        summary: 'Whether a vessel is ready for a batch',
        description:
          'What must be true before a start, one by one, from what was heard lately. Cheap enough to be asked each second.',
        tags: ['vessels'],
        params: VesselName,
        querystring: ReadingUnits,
        response: { 200: Readiness, ...problemsOfLook('unknown-vessel', 'has-errors') },
      },
    },
    async request => answer(request.params.name, null, request.query, () => []),
  )

  app.post(
    '/vessels/:name/readiness',
    {
      config: { needs: 'viewer' },
      schema: {
        summary: 'Whether a vessel is ready for this beer and plan',
        description:
          'The same, with the beer that is to go in: whether the float reads its original gravity and the wort is as warm as its yeast likes it. With a plan too, all is proof-read together. Nothing is changed.',
        tags: ['vessels'],
        params: VesselName,
        querystring: ReadingUnits,
        body: ReadinessFor,
        response: { 200: Readiness, ...problemsOfChange('unknown-vessel', 'has-errors') },
      },
    },
    async request => {
      const { beer: beerText, plan: planText } = request.body
      const read = beerText === undefined ? { beer: null, findings: [] } : readBeer(beerText, FILES.beer)
      return answer(request.params.name, read.beer, request.query, ({ text }) => {
        if (beerText === undefined || planText === undefined) return read.findings
        return judge({ planText, beerText, vesselText: text, localOffset_s: 0 }).findings
      })
    },
  )
}
