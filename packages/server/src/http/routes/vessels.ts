import type { Finding } from '@attemper/core/finding.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { Type } from 'typebox'
import { nameOf } from '../access/guard.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { DONE, Done, Name, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { CheckedVessel, NewVessel, TakenVessel, Vessel } from './vessel-schemas.ts'

const VesselName = Type.Object({ name: Name })

/** What stands in the cellar, which keeps the record of changes to vessels itself. */
export function vesselRoutes(app: HttpApp, { cellar, doors: door }: HttpParts): void {
  app.get(
    '/vessels',
    {
      schema: {
        summary: 'All vessels',
        description: 'The vessels of the cellar with their files.',
        tags: ['vessels'],
        response: { 200: Type.Array(Vessel, { description: 'By name.' }), ...problemsOfLook() },
      },
    },
    async () => cellar.vessels(),
  )

  app.get(
    '/vessels/:name',
    {
      schema: {
        summary: 'One vessel',
        description: 'A vessel with its files.',
        tags: ['vessels'],
        params: VesselName,
        response: { 200: Vessel, ...problemsOfLook('unknown-vessel') },
      },
    },
    async request => {
      const { name } = request.params
      const found = cellar.vessels().find(vessel => vessel.name === name)
      if (found !== undefined) return found
      throw new HttpProblem('unknown-vessel', `There is no vessel called “${name}”.`, {
        cure: 'GET /vessels lists those there are.',
      })
    },
  )

  app.post(
    '/vessels',
    {
      schema: {
        summary: 'Add or replace a vessel',
        description:
          'Its name stands in its file. Refused while a batch is in it, or when the file has errors.',
        tags: ['vessels'],
        body: NewVessel,
        response: {
          201: TakenVessel,
          ...problemsOfChange('vessel-busy', 'has-errors'),
        },
      },
    },
    async (request, reply) => {
      const { text, doors = '' } = request.body
      const { name, findings } = cellar.putVessel(text, doors, nameOf(request))
      if (findings.some(finding => finding.severity === 'error')) {
        throw new HttpProblem('has-errors', 'The vessel was not taken: its file has errors.', { findings })
      }
      reply.code(201)
      return { name, findings }
    },
  )

  app.post(
    '/vessels/check',
    {
      schema: {
        summary: 'Proof-read a vessel',
        description:
          'What is wrong with its file and its doors, with the places. Nothing is added or replaced.',
        tags: ['vessels'],
        body: NewVessel,
        response: { 200: CheckedVessel, ...problemsOfChange() },
      },
    },
    async request => {
      const { text, doors = '' } = request.body
      const { vessel, findings } = readVessel(text, 'vessel')
      const more = door?.check(text, doors) ?? []
      const isInDoors = ({ file }: Finding) => file === 'doors'
      return {
        name: vessel?.name ?? null,
        inText: [...findings, ...more.filter(each => !isInDoors(each))],
        inDoors: more.filter(isInDoors),
      }
    },
  )

  app.delete(
    '/vessels/:name',
    {
      schema: {
        summary: 'Remove a vessel',
        description: 'Its readings and batches are kept. Refused while a batch is in it.',
        tags: ['vessels'],
        params: VesselName,
        response: { 200: Done, ...problemsOfChange('unknown-vessel', 'vessel-busy') },
      },
    },
    async request => {
      cellar.removeVessel(request.params.name, nameOf(request))
      return DONE
    },
  )
}
